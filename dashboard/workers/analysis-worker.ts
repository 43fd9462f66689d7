import { parentPort, workerData } from 'node:worker_threads';
import { type CalibrationId, openLogbook, type RecordingId } from '../../daq/index.js';
import type { AnalysisBody } from '../server/api.js';
import { analysisBody } from './analysis-body.js';
import { type WorkerMessage, workFailure } from './worker-queue.js';

/** What the thread is asked. */
export interface AnalysisJob {
  readonly recordingId: number;
  /** Instead of the recording's own. */
  readonly calibrationId?: number | undefined;
}

const { logbookPath } = workerData as { logbookPath: string };
// A reader of its own: sample blocks never pass through the thread that serves and records.
const logbook = openLogbook(logbookPath, { readOnly: true });

const say = (message: WorkerMessage<AnalysisBody>) => parentPort!.postMessage(message);

parentPort!.on('message', ({ recordingId, calibrationId }: AnalysisJob) => {
  try {
    const { trace } = logbook.readRecording(
      recordingId as RecordingId,
      calibrationId as CalibrationId | undefined,
    );
    say({ result: analysisBody(recordingId, trace, (share) => say({ share })) });
  } catch (error) {
    say({ failure: workFailure(error) });
  }
});
