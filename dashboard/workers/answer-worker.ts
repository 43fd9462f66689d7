import { parentPort } from 'node:worker_threads';
import { type AnswerKind, answerHere } from './answer-work.js';
import { type WorkerMessage, workFailure } from './worker-queue.js';

/** What the thread is asked; `sides` and `asked` are those of the kind. */
export interface AnswerJob {
  readonly kind: AnswerKind;
  readonly sides: object;
  readonly asked: object;
}

const say = (message: WorkerMessage<unknown>) => parentPort!.postMessage(message);

parentPort!.on('message', async ({ kind, sides, asked }: AnswerJob) => {
  try {
    say({ result: await answerHere(kind, sides as never, asked as never) });
  } catch (error) {
    say({ failure: workFailure(error) });
  }
});
