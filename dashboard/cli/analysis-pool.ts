import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { SourceResult } from './analyze-source.js';
import type { Source } from './source.js';

/** Threads that analyse recordings; a thread is started only when there is work that no other is free for. */
export interface AnalysisPool {
  analyze(source: Source): Promise<SourceResult>;
  close(): Promise<void>;
}

interface Task {
  readonly source: Source;
  readonly resolve: (result: SourceResult) => void;
  readonly reject: (reason: unknown) => void;
}

/** @param threads most threads at a time */
export function analysisPool(threads = availableParallelism()): AnalysisPool {
  const waiting: Task[] = [];
  const idle: Worker[] = [];
  const workers: Worker[] = [];

  function assign(): void {
    while (waiting.length > 0) {
      const worker = idle.pop() ?? (workers.length < threads ? start() : undefined);
      if (!worker) return;
      run(worker, waiting.shift()!);
    }
  }

  function start(): Worker {
    const worker = new Worker(new URL('./analysis-worker.js', import.meta.url));
    workers.push(worker);
    return worker;
  }

  function run(worker: Worker, task: Task): void {
    const done = (result: SourceResult) => {
      worker.off('error', task.reject);
      idle.push(worker);
      task.resolve(result);
      assign();
    };
    // A thread dies only of a fault of this program, which then ends the command.
    worker.once('error', task.reject);
    worker.once('message', done);
    worker.postMessage(task.source);
  }

  return {
    analyze: (source) =>
      new Promise((resolve, reject) => {
        waiting.push({ source, resolve, reject });
        assign();
      }),
    async close() {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}

/**
 * Analyses recordings on all cores and yields the results in the order of the sources, each as soon as it and
 * all before it are there. A single recording is analysed in this thread, which saves starting another.
 */
export async function* analyzeInOrder(sources: readonly Source[]): AsyncGenerator<SourceResult> {
  if (sources.length === 1) {
    const { analyzeSource } = await import('./analyze-source.js');
    yield await analyzeSource(sources[0]!);
    return;
  }
  const pool = analysisPool();
  try {
    const results = sources.map((source) => pool.analyze(source));
    // Awaited in turn below; one that fails early must not count as unhandled until then.
    for (const result of results) result.catch(() => {});
    for (const result of results) yield await result;
  } finally {
    await pool.close();
  }
}
