import type { AnalysisBody } from '../server/api.js';
import type { AnalysisJob } from './analysis-worker.js';
import { workerQueue } from './worker-queue.js';

/** Analyses recordings of one logbook in a thread of its own. */
export interface AnalysisThread {
  /**
   * @param calibrationId the recording's own where it is left out
   * @param signal ends the analysis, or takes it out of the queue
   * @throws what reading the recording threw, that the thread died, or the signal's reason
   */
  analyse(recordingId: number, signal?: AbortSignal, calibrationId?: number): Promise<AnalysisBody>;
  close(): Promise<void>;
}

/**
 * @param logbookPath the file; the thread opens it for reading only
 * @param onShare told how far the recording in work is, a share from 0 to 1
 */
export function analysisThread(
  logbookPath: string,
  onShare: (recordingId: number, share: number) => void = () => {},
): AnalysisThread {
  const queue = workerQueue<AnalysisJob, AnalysisBody>(
    new URL('./analysis-worker.js', import.meta.url),
    { logbookPath },
    ({ recordingId }, share) => onShare(recordingId, share),
  );
  return {
    analyse: (recordingId, signal, calibrationId) => queue.run({ recordingId, calibrationId }, signal),
    close: queue.close,
  };
}
