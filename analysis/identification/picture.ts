import type { CurvePoint, RecordingPicture } from '../result.js';
import { besideFit } from './beside-fit.js';
import type { Identification } from './identify.js';

const mostPoints = 2000;

/** Thinned measured points with their motion and what the fit says of them, for drawing. */
export function pictureOf(identification: Identification, total: readonly CurvePoint[]): RecordingPicture {
  const stride = Math.max(1, Math.ceil(identification.problem.time_s.length / mostPoints));
  const { time_s, position_m, velocity_m_per_s, force_N, residual_N, part_N } = besideFit(
    identification,
    /^(drag|linear|quadratic|bend|thinning|ceiling)/,
    stride,
    true,
  );
  return {
    points: { time_s, position_m, velocity_m_per_s, force_N, residual_N, frictional_N: part_N },
    total,
  };
}
