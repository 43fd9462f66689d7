import { leastSquares } from '../numerics/linear.js';
import { lagOneAutocorrelation } from '../numerics/summary.js';
import type { Branch } from './branches.js';

/** What a stroke's line is asked for: force at mid-travel and at its start, and change over half the travel. */
export type LinePart = 'level' | 'start' | 'slope' | 'bend';

/** One stroke as level + slope·z, z from −1 to 1 over the travel, with bend·z² from a fit of its own. */
export interface StrokeLine {
  readonly direction: 1 | -1;
  readonly value: Readonly<Record<LinePart, number>>;
  /** Within the stroke, for residuals correlated from sample to sample. */
  readonly variance: Readonly<Record<LinePart, number>>;
  readonly degreesOfFreedom: number;
  readonly residualSd_N: number;
}

export interface PartMean {
  readonly value: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
}

/** Left out after a reversal, where the seal still shears, and before the next one; shares of a stroke. */
const leadIn = 0.15;
const leadOut = 0.03;
const leastSamples = 15;

/**
 * Fits the line of one stroke.
 * @param middle_m, half_m middle and half of the whole travel
 * @returns null where the stroke has too few samples
 */
export function strokeLine(
  { from, to, direction }: Branch,
  position_m: Float64Array,
  force_N: Float64Array,
  middle_m: number,
  half_m: number,
): StrokeLine | null {
  const begin = position_m[from];
  const stroke = position_m[to - 1] - begin;
  const inside: number[] = [];
  for (let i = from; i < to; i++) {
    const share = (position_m[i] - begin) / stroke;
    if (share >= leadIn && share <= 1 - leadOut) inside.push(i);
  }
  if (inside.length < leastSamples) return null;
  const z = Float64Array.from(inside, (i) => (position_m[i] - middle_m) / half_m);
  const forces = Float64Array.from(inside, (i) => force_N[i]);
  const one = z.map(() => 1);
  const straight = leastSquares([one, z], forces);
  const curved = leastSquares([one, z, z.map((value) => value * value)], forces);
  const repeat = Math.min(0.99, Math.max(0, lagOneAutocorrelation(straight.residuals) || 0));
  const inflation = (1 + repeat) / (1 - repeat);
  const [level, slope] = straight.coefficients;
  const [ofLevel, ofBoth, , ofSlope] = straight.covariance.map((value) => value * inflation);
  return {
    direction,
    value: { level, slope, start: level - slope, bend: curved.coefficients[2] },
    variance: {
      level: ofLevel,
      slope: ofSlope,
      start: ofLevel + ofSlope - 2 * ofBoth,
      bend: curved.covariance[8] * inflation,
    },
    degreesOfFreedom: Math.max(1, inside.length / inflation - 2),
    residualSd_N: straight.residualSd,
  };
}

/**
 * Mean of the ways' means, each way being the strokes in one direction.
 * Numerical notes: the spread between strokes of one way, pooled, and never below what their own lines imply.
 */
export function meanPart(ways: readonly (readonly StrokeLine[])[], part: LinePart): PartMean {
  const lines = ways.flat();
  const freedom = lines.length - ways.length;
  const means = ways.map((way) => way.reduce((sum, { value }) => sum + value[part], 0) / way.length);
  const squares = ways.map((way, w) =>
    way.reduce((sum, { value }) => sum + (value[part] - means[w]) ** 2, 0),
  );
  const between = freedom > 0 ? squares.reduce((a, b) => a + b, 0) / freedom : 0;
  const within = lines.reduce((sum, { variance }) => sum + variance[part], 0) / lines.length;
  const share = ways.reduce((sum, way) => sum + 1 / way.length, 0) / ways.length ** 2;
  return {
    value: means.reduce((a, b) => a + b, 0) / ways.length,
    standardError: Math.sqrt(Math.max(between, within) * share),
    degreesOfFreedom:
      between > within ? freedom : lines.reduce((sum, { degreesOfFreedom }) => sum + degreesOfFreedom, 0),
  };
}
