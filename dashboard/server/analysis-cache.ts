import type { Recording } from '../../daq/index.js';
import type { AnalysisBody } from './api.js';

/** Analyses made so far. An analysis is a function of the recording, its calibration and the method, and so is the key. */
export interface AnalysisCache {
  /** The recording's analysis: kept, under way, or begun now. A failure is not kept. */
  analysisOf(recording: Recording): Promise<AnalysisBody>;
}

/**
 * @param analyse makes an analysis
 * @param methodVersion changes whenever the same recording would be analysed otherwise
 * @param most analyses to keep, of about 150 kB each; the one asked for longest ago goes first
 */
export function analysisCache(
  analyse: (recordingId: number) => Promise<AnalysisBody>,
  methodVersion: string,
  most = 200,
): AnalysisCache {
  const kept = new Map<string, Promise<AnalysisBody>>();
  return {
    analysisOf({ id, calibrationId }) {
      const key = `${id} ${calibrationId} ${methodVersion}`;
      const known = kept.get(key);
      const body = known ?? analyse(id);
      kept.delete(key);
      kept.set(key, body);
      if (!known) body.catch(() => kept.delete(key));
      if (kept.size > most) kept.delete(kept.keys().next().value!);
      return body;
    },
  };
}
