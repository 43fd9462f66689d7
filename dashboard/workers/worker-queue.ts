import { Worker } from 'node:worker_threads';

/** What a thread of a queue says of the work it was given: shares from 0 to 1 as it goes, and last a result or a failure. */
export type WorkerMessage<Result> =
  | { readonly share: number }
  | { readonly result: Result }
  | { readonly failure: WorkFailure };

/** An error's own words, which alone can cross between threads: its message, its code, what was found and wanted. */
export type WorkFailure = { readonly message: string } & Readonly<Record<string, unknown>>;

export interface WorkerQueue<Work, Result> {
  /**
   * @param signal ends the work, or takes it out of the queue
   * @throws what the work threw, that the thread died, or the signal's reason
   */
  run(work: Work, signal?: AbortSignal): Promise<Result>;
  close(): Promise<void>;
}

interface Job<Work, Result> {
  readonly work: Work;
  readonly resolve: (result: Result) => void;
  readonly reject: (error: unknown) => void;
}

/**
 * A thread that does one piece of work after the other, started with the first and again should it die or be ended in
 * the middle of one that nobody wants any more.
 * @param file of the thread; it answers every message with `WorkerMessage`s
 * @param workerData what the thread starts with
 * @param onShare told how far the work at hand is, a share from 0 to 1
 */
export function workerQueue<Work, Result>(
  file: URL,
  workerData: unknown,
  onShare: (work: Work, share: number) => void = () => {},
): WorkerQueue<Work, Result> {
  const waiting: Job<Work, Result>[] = [];
  let running: Job<Work, Result> | null = null;
  let worker: Worker | null = null;

  function next(): void {
    if (running) return;
    running = waiting.shift() ?? null;
    if (!running) return;
    worker ??= start();
    worker.postMessage(running.work);
  }

  function start(): Worker {
    const started = new Worker(file, { workerData });
    started.on('message', (message: WorkerMessage<Result>) => {
      if (worker === started) take(message);
    });
    started.on('error', (error) => lose(started, error));
    started.on('exit', () => lose(started, new Error('the working thread ended')));
    // A server that is closing does not wait for work.
    started.unref();
    return started;
  }

  function take(message: WorkerMessage<Result>): void {
    if (!running) return;
    if ('share' in message) {
      onShare(running.work, message.share);
      return;
    }
    const { resolve, reject } = running;
    running = null;
    if ('result' in message) resolve(message.result);
    else reject(revived(message.failure));
    next();
  }

  /** The thread is gone, and with it what it was working on; the rest goes to another. */
  function lose(lost: Worker, error: unknown): void {
    if (worker !== lost) return;
    worker = null;
    running?.reject(error);
    running = null;
    next();
  }

  function abandon(job: Job<Work, Result>, reason: unknown): void {
    const place = waiting.indexOf(job);
    if (place >= 0) {
      waiting.splice(place, 1);
      job.reject(reason);
    } else if (running === job && worker) {
      // Nothing else stops a loop over typed arrays.
      void worker.terminate();
      lose(worker, reason);
    }
  }

  return {
    run: (work, signal) =>
      new Promise((resolve, reject) => {
        if (signal?.aborted) return reject(signal.reason);
        const job = { work, resolve, reject };
        signal?.addEventListener('abort', () => abandon(job, signal.reason), { once: true });
        waiting.push(job);
        next();
      }),
    async close() {
      waiting.splice(0).forEach(({ reject }) => {
        reject(new Error('the working thread ended'));
      });
      await worker?.terminate();
    },
  };
}

/** What a thread says of an error that its work threw. */
export function workFailure(error: unknown): WorkFailure {
  const { message } = error as Error;
  // A cause or a stack says nothing to the other side; what is plain does.
  return { ...JSON.parse(JSON.stringify(error)), message };
}

const revived = ({ message, ...words }: WorkFailure): Error => Object.assign(new Error(message), words);
