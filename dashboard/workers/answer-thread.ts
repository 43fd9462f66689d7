import type { AnswerFunction } from './answer-work.js';
import type { AnswerJob } from './answer-worker.js';
import { workerQueue } from './worker-queue.js';

/** Works out answers from analyses in a thread of its own, which never waits for an analysis. */
export interface AnswerThread {
  readonly answer: AnswerFunction;
  close(): Promise<void>;
}

/** @param logbookPath the file; the thread opens it for reading only, and only for what no analysis tells */
export function answerThread(logbookPath: string): AnswerThread {
  const queue = workerQueue<AnswerJob, never>(new URL('./answer-worker.js', import.meta.url), {
    logbookPath,
  });
  return {
    answer: (kind, sides, asked, signal) => queue.run({ kind, sides, asked }, signal),
    close: queue.close,
  };
}
