import type { AnswerFunction } from './answer-work.js';
import type { AnswerJob } from './answer-worker.js';
import { workerQueue } from './worker-queue.js';

/** Works out answers from analyses in a thread of its own, which never waits for an analysis. */
export interface AnswerThread {
  readonly answer: AnswerFunction;
  close(): Promise<void>;
}

export function answerThread(): AnswerThread {
  const queue = workerQueue<AnswerJob, never>(new URL('./answer-worker.js', import.meta.url), null);
  return {
    answer: (kind, sides, asked, signal) => queue.run({ kind, sides, asked }, signal),
    close: queue.close,
  };
}
