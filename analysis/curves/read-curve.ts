import { coverage95 } from '../estimate.js';
import type { CurvePoint } from '../result.js';
import { directionOf, type ForceCurve, sideOf } from './force-curve.js';

export interface CurveReading {
  readonly force_N: number;
  readonly standardError_N: number;
  /** Read beyond the fastest point of the curve. */
  readonly extrapolated: boolean;
}

/**
 * Reads a curve at one velocity.
 * @param velocity_m_per_s signed, not zero
 * @returns the force, or null where the curve has no point in that direction
 * Numerical notes: damping is interpolated as force over speed, which is exact for linear and quadratic damping
 *   however far apart the points are; total force is interpolated itself. Beyond the last point the last two lead on;
 *   before the first, damping keeps its force over speed and total force its value.
 */
export function forceOn(curve: ForceCurve, velocity_m_per_s: number): CurveReading | null {
  const side = sideOf(curve, directionOf(velocity_m_per_s));
  if (side.length === 0) return null;
  const speed = Math.abs(velocity_m_per_s);
  const divisor = (at: number) => (curve.kind === 'damping' ? at : 1);
  const speedOf = (point: CurvePoint) => Math.abs(point.velocity_m_per_s);
  const coverage = coverage95(curve.degreesOfFreedom);
  const found = side.findIndex((point) => speedOf(point) >= speed);
  const above = found < 0 ? side.length - 1 : found;
  const high = side[above];
  const low = side[above - 1] ?? high;
  const share = low === high ? 0 : (speed - speedOf(low)) / (speedOf(high) - speedOf(low));
  const between = (of: (point: CurvePoint) => number) => {
    const from = of(low) / divisor(speedOf(low));
    return (from + share * (of(high) / divisor(speedOf(high)) - from)) * divisor(speed);
  };
  const force_N = between((point) => point.force_N);
  return {
    force_N:
      curve.ceiling_N !== null && curve.kind === 'damping' ? Math.min(force_N, curve.ceiling_N) : force_N,
    standardError_N: Math.abs(between((point) => (point.high95_N - point.low95_N) / 2)) / coverage,
    extrapolated: speed > speedOf(side[side.length - 1]) * (1 + 1e-9),
  };
}
