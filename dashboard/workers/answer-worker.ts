import { parentPort, workerData } from 'node:worker_threads';
import { type Logbook, openLogbook } from '../../daq/index.js';
import { type AnswerKind, answersHere } from './answer-work.js';
import { tracesOf } from './traced.js';
import { type WorkerMessage, workFailure } from './worker-queue.js';

/** What the thread is asked; `sides` and `asked` are those of the kind. */
export interface AnswerJob {
  readonly kind: AnswerKind;
  readonly sides: object;
  readonly asked: object;
}

const { logbookPath } = workerData as { logbookPath: string };
let logbook: Logbook | null = null;
const answer = answersHere((recordingId) => {
  // Most answers come from analyses alone, and need no reader of the logbook.
  logbook ??= openLogbook(logbookPath, { readOnly: true });
  return tracesOf(logbook)(recordingId);
});

const say = (message: WorkerMessage<unknown>) => parentPort!.postMessage(message);

parentPort!.on('message', async ({ kind, sides, asked }: AnswerJob) => {
  try {
    say({ result: await answer(kind, sides as never, asked as never) });
  } catch (error) {
    say({ failure: workFailure(error) });
  }
});
