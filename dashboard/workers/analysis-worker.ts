import { parentPort, workerData } from 'node:worker_threads';
import type { DaqErrorCode, DaqErrorDetail, RecordingId } from '../../daq/index.js';
import { openLogbook } from '../../daq/index.js';
import type { AnalysisBody } from '../server/api.js';
import { analysisBody } from './analysis-body.js';

/** What the thread is asked. */
export interface AnalysisJob {
  readonly recordingId: number;
}

/** What it answers: shares from 0 to 1 as it goes, and last a body or a failure. */
export type AnalysisMessage =
  | { readonly share: number }
  | { readonly body: AnalysisBody }
  | { readonly failure: AnalysisFailure };

export interface AnalysisFailure {
  readonly message: string;
  readonly code?: DaqErrorCode;
  readonly detail?: DaqErrorDetail;
}

const { logbookPath } = workerData as { logbookPath: string };
// A reader of its own: sample blocks never pass through the thread that serves and records.
const logbook = openLogbook(logbookPath, { readOnly: true });

const say = (message: AnalysisMessage) => parentPort!.postMessage(message);

parentPort!.on('message', ({ recordingId }: AnalysisJob) => {
  try {
    const { trace } = logbook.readRecording(recordingId as RecordingId);
    say({ body: analysisBody(recordingId, trace, (share) => say({ share })) });
  } catch (error) {
    const { message, code, detail } = error as Error & AnalysisFailure;
    say({ failure: { message, ...(code && { code }), ...(detail && { detail }) } });
  }
});
