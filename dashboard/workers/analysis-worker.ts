import { parentPort, workerData } from 'node:worker_threads';
import type { RecordingId } from '../../daq/index.js';
import { openLogbook } from '../../daq/index.js';
import { analysisBody } from './analysis-body.js';

/** What the thread is asked and what it answers. */
export interface AnalysisJob {
  readonly job: number;
  readonly recordingId: number;
}

const { logbookPath } = workerData as { logbookPath: string };
// A reader of its own: sample blocks never pass through the thread that serves and records.
const logbook = openLogbook(logbookPath, { readOnly: true });

parentPort!.on('message', ({ job, recordingId }: AnalysisJob) => {
  try {
    const { trace } = logbook.readRecording(recordingId as RecordingId);
    parentPort!.postMessage({ job, body: analysisBody(recordingId, trace) });
  } catch (error) {
    const { name, message, code, detail } = error as Error & { code?: unknown; detail?: unknown };
    parentPort!.postMessage({ job, failure: { name, message, code, detail } });
  }
});
