import type { Recording } from '../../daq/index.js';
import type { AnalysisBody } from './api.js';
import { sharedWork } from './shared-work.js';

/** Analyses made so far. An analysis is a function of the recording, its calibration and the method, and so is the key. */
export interface AnalysisCache {
  /**
   * The recording's analysis, under the calibration that it is given with: kept, under way, or begun now; ended when nobody waits for it any more.
   * @param wanted aborted when whoever asks needs no answer any more
   */
  analysisOf(recording: Recording, wanted?: AbortSignal): Promise<AnalysisBody>;
  /** What the analysis of a recording depends on; answers made from analyses are kept by it as well. */
  keyOf(recording: Pick<Recording, 'id' | 'calibrationId'>): string;
}

/**
 * @param analyse makes an analysis
 * @param methodVersion changes whenever the same recording would be analysed otherwise
 * @param most analyses to keep, of about 150 kB each; the one asked for longest ago goes first
 */
export function analysisCache(
  analyse: (recordingId: number, signal: AbortSignal, calibrationId: number) => Promise<AnalysisBody>,
  methodVersion: string,
  most = 200,
): AnalysisCache {
  const work = sharedWork<AnalysisBody>(most);
  const keyOf: AnalysisCache['keyOf'] = ({ id, calibrationId }) => `${id} ${calibrationId} ${methodVersion}`;
  return {
    keyOf,
    analysisOf: (recording, wanted) =>
      work.get(keyOf(recording), (signal) => analyse(recording.id, signal, recording.calibrationId), wanted),
  };
}
