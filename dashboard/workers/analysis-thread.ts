import { Worker } from 'node:worker_threads';
import { DaqError } from '../../daq/index.js';
import type { AnalysisBody } from '../server/api.js';
import type { AnalysisFailure, AnalysisJob, AnalysisMessage } from './analysis-worker.js';

/** Analyses recordings of one logbook in a thread of its own. */
export interface AnalysisThread {
  /**
   * @param signal ends the analysis, or takes it out of the queue
   * @throws what reading the recording threw, that the thread died, or the signal's reason
   */
  analyse(recordingId: number, signal?: AbortSignal): Promise<AnalysisBody>;
  close(): Promise<void>;
}

interface Job extends AnalysisJob {
  readonly resolve: (body: AnalysisBody) => void;
  readonly reject: (error: unknown) => void;
}

/**
 * A thread that analyses one recording after the other, started with the first and again should it die or be ended
 * in the middle of one that nobody wants any more.
 * @param logbookPath the file; the thread opens it for reading only
 * @param onShare told how far the recording in work is, a share from 0 to 1
 */
export function analysisThread(
  logbookPath: string,
  onShare: (recordingId: number, share: number) => void = () => {},
): AnalysisThread {
  const waiting: Job[] = [];
  let running: Job | null = null;
  let worker: Worker | null = null;

  function next(): void {
    if (running) return;
    running = waiting.shift() ?? null;
    if (!running) return;
    worker ??= start();
    worker.postMessage({ recordingId: running.recordingId } satisfies AnalysisJob);
  }

  function start(): Worker {
    const started = new Worker(new URL('./analysis-worker.js', import.meta.url), {
      workerData: { logbookPath },
    });
    started.on('message', (message: AnalysisMessage) => {
      if (worker === started) take(message);
    });
    started.on('error', (error) => lose(started, error));
    started.on('exit', () => lose(started, new Error('the analysis thread ended')));
    // A server that is closing does not wait for an analysis.
    started.unref();
    return started;
  }

  function take(message: AnalysisMessage): void {
    if (!running) return;
    if ('share' in message) {
      onShare(running.recordingId, message.share);
      return;
    }
    const { resolve, reject } = running;
    running = null;
    if ('body' in message) resolve(message.body);
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

  function abandon(job: Job, reason: unknown): void {
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
    analyse: (recordingId, signal) =>
      new Promise((resolve, reject) => {
        if (signal?.aborted) return reject(signal.reason);
        const job = { recordingId, resolve, reject };
        signal?.addEventListener('abort', () => abandon(job, signal.reason), { once: true });
        waiting.push(job);
        next();
      }),
    async close() {
      waiting.splice(0).forEach(({ reject }) => {
        reject(new Error('the analysis thread ended'));
      });
      await worker?.terminate();
    },
  };
}

/** An error as it was thrown in the thread; only its plain parts can cross. */
function revived({ message, code, detail }: AnalysisFailure): Error {
  return code && detail ? new DaqError(code, detail) : new Error(message);
}
