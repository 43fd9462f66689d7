import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { WorkerMessage } from './analysis-worker.js';
import type { SourceResult } from './analyze-source.js';
import { outOfMemory } from './failure.js';
import type { Source } from './source.js';

/** Told how far the analysis of a source is, a share from 0 to 1. */
export type ShareOf = (source: Source, share: number) => void;

interface Task {
  readonly source: Source;
  readonly resolve: (result: SourceResult) => void;
  readonly reject: (reason: unknown) => void;
}

/**
 * Threads that wait for the next analyses of this process: one that has analysed before takes a third of the time.
 * They do not keep the process from ending.
 */
const resting: Worker[] = [];

/**
 * Threads that analyse recordings; a thread is started only when there is work that no other is free for.
 * @param onShare told how far each is
 * @param threads most threads at a time
 */
export function analysisPool(onShare: ShareOf = () => {}, threads = availableParallelism()) {
  const waiting: Task[] = [];
  const idle: Worker[] = [];
  const workers = new Set<Worker>();

  function assign(): void {
    while (waiting.length > 0) {
      const worker = idle.pop() ?? (workers.size < threads ? start() : undefined);
      if (!worker) return;
      run(worker, waiting.shift()!);
    }
  }

  function start(): Worker {
    const worker = resting.pop() ?? new Worker(new URL('./analysis-worker.js', import.meta.url));
    worker.ref();
    workers.add(worker);
    return worker;
  }

  function run(worker: Worker, { source, resolve, reject }: Task): void {
    const take = (message: WorkerMessage) => {
      if ('share' in message) return onShare(source, message.share);
      worker.off('message', take).off('error', fail);
      idle.push(worker);
      resolve(message.result);
      assign();
    };
    // A thread dies of too little memory, which is the recording's doing, or of a fault, which ends the command.
    const fail = (error: NodeJS.ErrnoException) => {
      workers.delete(worker);
      if (error.code === 'ERR_WORKER_OUT_OF_MEMORY') resolve({ ok: false, error: outOfMemory(source.label) });
      else reject(error);
      assign();
    };
    worker.on('message', take).once('error', fail);
    worker.postMessage(source);
  }

  return {
    analyze: (source: Source): Promise<SourceResult> =>
      new Promise((resolve, reject) => {
        waiting.push({ source, resolve, reject });
        assign();
      }),
    /** Ends all threads, whatever they do. */
    async close(): Promise<void> {
      await Promise.all([...workers].map((worker) => worker.terminate()));
    },
    /** Ends the threads that are at work, and keeps the others for the next pool of this process. */
    async rest(): Promise<void> {
      for (const worker of idle.splice(0)) {
        workers.delete(worker);
        worker.unref();
        resting.push(worker);
      }
      await this.close();
    },
  };
}

/**
 * Analyses recordings on all cores and yields the results in the order of the sources, each as soon as it and
 * all before it are there. A single recording is analysed in this thread, which saves starting another, unless
 * somebody watches: this thread then has to stay free.
 */
export async function* analyzeInOrder(
  sources: readonly Source[],
  onShare?: ShareOf,
): AsyncGenerator<SourceResult> {
  if (sources.length === 1 && !onShare) {
    const { analyzeSource } = await import('./analyze-source.js');
    yield await analyzeSource(sources[0]!);
    return;
  }
  const pool = analysisPool(onShare);
  try {
    const results = sources.map((source) => pool.analyze(source));
    // Awaited in turn below; one that fails early must not count as unhandled until then.
    for (const result of results) result.catch(() => {});
    for (const result of results) yield await result;
  } finally {
    await pool.rest();
  }
}
