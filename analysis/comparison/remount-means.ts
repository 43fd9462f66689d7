import type { RemountSpread } from '../curves/remounts.js';
import type { CurvePoint, Estimate } from '../result.js';
import { poolRemounts } from './pool-remounts.js';
import type { Measured } from './quantities.js';

/**
 * The mean over the remounts of each of several builds that are shown together, with the spread between remounts
 * pooled over all of them (`poolRemounts`); for two builds the `before` and `after` of their comparison.
 * @param builds per build one value a remount, all of one quantity and unit, at least one each
 * @param known spread from elsewhere, such as the rig's long-run spread
 * @returns an estimate per build, in their order and unit
 */
export const remountMeans = (builds: readonly (readonly Measured[])[], known?: RemountSpread): Estimate[] =>
  poolRemounts(builds, known).builds.map(({ mean }) => mean);

/**
 * A curve read at one speed, between its neighbouring points linearly.
 * @returns null beyond its ends, and between its slowest rebound and slowest compression, where drag changes sign
 */
export function curveAt(curve: readonly CurvePoint[], velocity_m_per_s: number): Estimate | null {
  const above = curve.findIndex((point) => point.velocity_m_per_s >= velocity_m_per_s);
  if (above < 0) return null;
  const right = curve[above];
  const left = curve[above - 1] ?? right;
  const span = right.velocity_m_per_s - left.velocity_m_per_s;
  const share = span > 0 ? (velocity_m_per_s - left.velocity_m_per_s) / span : 1;
  if (left === right && right.velocity_m_per_s !== velocity_m_per_s) return null;
  if (share < 1 && left.velocity_m_per_s < 0 && right.velocity_m_per_s > 0) return null;
  const between = (of: (point: CurvePoint) => number) => of(left) + share * (of(right) - of(left));
  return {
    value: between((point) => point.force_N),
    standardError: between((point) => point.standardError_N),
    low95: between((point) => point.low95_N),
    high95: between((point) => point.high95_N),
  };
}
