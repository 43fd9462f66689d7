import { Worker } from 'node:worker_threads';
import { DaqError, type DaqErrorCode, type DaqErrorDetail } from '../../daq/index.js';
import type { AnalysisBody } from '../server/api.js';

/** Analyses recordings of one logbook in a thread of its own. */
export interface AnalysisThread {
  /** @throws what reading the recording threw, or that the thread died */
  analyse(recordingId: number): Promise<AnalysisBody>;
  close(): Promise<void>;
}

type Answer =
  | { readonly job: number; readonly body: AnalysisBody }
  | { readonly job: number; readonly failure: Failure };

interface Failure {
  readonly message: string;
  readonly code?: DaqErrorCode;
  readonly detail?: DaqErrorDetail;
}

interface Waiting {
  readonly resolve: (body: AnalysisBody) => void;
  readonly reject: (error: Error) => void;
}

/**
 * A thread that analyses one recording after the other, started with the first and again should it die.
 * @param logbookPath the file; the thread opens it for reading only
 */
export function analysisThread(logbookPath: string): AnalysisThread {
  const waiting = new Map<number, Waiting>();
  let worker: Worker | null = null;
  let jobs = 0;

  function start(): Worker {
    const started = new Worker(new URL('./analysis-worker.js', import.meta.url), {
      workerData: { logbookPath },
    });
    started.on('message', take);
    started.on('error', giveUp);
    started.on('exit', () => giveUp(new Error('the analysis thread ended')));
    // A server that is closing does not wait for an analysis.
    started.unref();
    return started;

    function giveUp(error: Error): void {
      if (worker === started) worker = null;
      for (const { reject } of waiting.values()) reject(error);
      waiting.clear();
    }
  }

  function take(answer: Answer): void {
    const asker = waiting.get(answer.job);
    waiting.delete(answer.job);
    if ('body' in answer) asker?.resolve(answer.body);
    else asker?.reject(revived(answer.failure));
  }

  return {
    analyse(recordingId) {
      worker ??= start();
      const job = ++jobs;
      worker.postMessage({ job, recordingId });
      return new Promise((resolve, reject) => waiting.set(job, { resolve, reject }));
    },
    async close() {
      await worker?.terminate();
    },
  };
}

/** An error as it was thrown in the thread; only its plain parts can cross. */
function revived({ message, code, detail }: Failure): Error {
  return code && detail ? new DaqError(code, detail) : new Error(message);
}
