import {
  type AnalysisProgress,
  analyzeRecording,
  makeTrace,
  type RecordingPicture,
  type TraceInput,
} from '../../analysis/index.js';
import type { AnalysisBody, ApiPicture, ApiPoints } from '../server/api.js';
import { thinned } from './thinned.js';

const MOST_POINTS = 2000;
/** More than any screen shows; fewer would make the text no shorter that matters. */
const DIGITS = 6;

/** Analyses a recording and makes the answer that the page draws from. */
export function analysisBody(
  recordingId: number,
  trace: TraceInput,
  progress?: AnalysisProgress,
): AnalysisBody {
  const made = makeTrace(trace);
  const outcome = made.ok ? analyzeRecording(made.trace, progress) : made;
  return outcome.ok
    ? { ok: true, recordingId, analysis: outcome.analysis, picture: thinPicture(outcome.picture) }
    : { ok: false, recordingId, refusal: outcome.refusal };
}

/** Every n-th measured point, so that at most `most` are left, with digits enough for drawing. */
export function thinPicture({ points, total }: RecordingPicture, most = MOST_POINTS): ApiPicture {
  const every = Math.max(1, Math.ceil(points.time_s.length / most));
  const thin = (values: Float64Array) => thinned(values, every, DIGITS);
  const drawn: ApiPoints = {
    time_s: thin(points.time_s),
    position_m: thin(points.position_m),
    velocity_m_per_s: thin(points.velocity_m_per_s),
    force_N: thin(points.force_N),
    residual_N: thin(points.residual_N),
    frictional_N: thin(points.frictional_N),
  };
  return { points: drawn, total };
}
