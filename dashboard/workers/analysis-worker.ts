import { parentPort, workerData } from 'node:worker_threads';
import type { RecordingId } from '../../daq/index.js';
import { openLogbook } from '../../daq/index.js';
import { analysisBody } from './analysis-body.js';
import type { AnalysisJob, AnalysisMessage } from './analysis-thread.js';

const { logbookPath } = workerData as { logbookPath: string };
// A reader of its own: sample blocks never pass through the thread that serves and records.
const logbook = openLogbook(logbookPath, { readOnly: true });

const say = (message: AnalysisMessage) => parentPort!.postMessage(message);

parentPort!.on('message', ({ recordingId }: AnalysisJob) => {
  try {
    const { trace } = logbook.readRecording(recordingId as RecordingId);
    say({ body: analysisBody(recordingId, trace, (share) => say({ share })) });
  } catch (error) {
    const { message, code, detail } = error as Error &
      Pick<Extract<AnalysisMessage, { failure: unknown }>['failure'], 'code' | 'detail'>;
    say({ failure: { message, ...(code && { code }), ...(detail && { detail }) } });
  }
});
