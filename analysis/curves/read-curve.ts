import type { CurvePoint } from '../result.js';
import { directionOf, type ForceCurve, sideOf } from './force-curve.js';

export interface CurveReading {
  readonly force_N: number;
  readonly standardError_N: number;
  /** Read beyond the fastest point of the curve. */
  readonly extrapolated: boolean;
}

/** The force at a signed velocity, not zero; null where the curve has no point in that direction. */
export type CurveReader = (velocity_m_per_s: number) => CurveReading | null;

/** Reads a curve at one velocity, see `curveReader`. */
export const forceOn = (curve: ForceCurve, velocity_m_per_s: number): CurveReading | null =>
  curveReader(curve)(velocity_m_per_s);

/**
 * Prepares a curve for being read at many velocities.
 * Numerical notes: damping is interpolated as force over speed, which is exact for linear and quadratic damping
 *   however far apart the points are; total force is interpolated itself. Beyond the last point the last two lead on;
 *   before the first, damping keeps its force over speed and total force its value.
 */
export function curveReader(curve: ForceCurve): CurveReader {
  const damping = curve.kind === 'damping';
  const sides = { compression: sideOf(curve, 'compression'), rebound: sideOf(curve, 'rebound') };
  return (velocity_m_per_s) => {
    const side = sides[directionOf(velocity_m_per_s)];
    if (side.length === 0) return null;
    const speed = Math.abs(velocity_m_per_s);
    let above = 0;
    while (above < side.length - 1 && speedOf(side[above]) < speed) above++;
    const high = side[above];
    const low = side[above - 1] ?? high;
    const share = low === high ? 0 : (speed - speedOf(low)) / (speedOf(high) - speedOf(low));
    const [toLow, toHigh] = damping ? [speed / speedOf(low), speed / speedOf(high)] : [1, 1];
    const between = (atLow: number, atHigh: number) => (1 - share) * toLow * atLow + share * toHigh * atHigh;
    const force_N = between(low.force_N, high.force_N);
    return {
      force_N: damping && curve.ceiling_N !== null ? Math.min(force_N, curve.ceiling_N) : force_N,
      standardError_N: Math.abs(between(low.standardError_N, high.standardError_N)),
      extrapolated: speed > speedOf(side[side.length - 1]) * (1 + 1e-9),
    };
  };
}

const speedOf = (point: CurvePoint): number => Math.abs(point.velocity_m_per_s);
