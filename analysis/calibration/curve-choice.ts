import { fSurvival, tSurvival } from '../numerics/distributions.js';
import { type LeastSquaresFit, leastSquares } from '../numerics/linear.js';

export type CurveShape = 'straight' | 'quadratic';

/** Whether a curve misses the means of repeated readings by more than the readings scatter. */
export interface LackOfFit {
  readonly statistic: number;
  readonly degreesOfFreedom: readonly [number, number];
  /** Chance of a larger statistic where the curve is right. */
  readonly probability: number;
}

export interface CalibrationCurve {
  readonly shape: CurveShape;
  /** Reading = Σ coefficients[k]·reference^k. */
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly residualSd: number;
  readonly degreesOfFreedom: number;
  /** Null without repeated readings at the same reference. */
  readonly lackOfFit: LackOfFit | null;
}

export interface CurveChoice {
  readonly straight: CalibrationCurve;
  /** Null with fewer than four references. */
  readonly quadratic: CalibrationCurve | null;
  /** Chance of a larger quadratic term where there is none. */
  readonly bendProbability: number | null;
  readonly chosen: CurveShape;
}

/** Chance below which a straight line is given up, and a bend believed. */
const significance = 0.05;

/**
 * Compares a straight line with a quadratic through calibration readings, by lack of fit where readings were repeated.
 * @param reference n known values, exact beside the readings; equal values count as repetitions
 * @param reading n readings at them, any unit
 * @returns both fits and which to use: the quadratic only where the straight line misses (or nothing was repeated) and
 *   the bend itself is significant, both at 5 %
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 2.3.6.5 and 4.6.1 (load cell, lack-of-fit statistic)
 */
export function compareCurves(reference: Float64Array, reading: Float64Array): CurveChoice {
  const references = new Set(reference).size;
  const straight = fitCurve(reference, reading, 'straight');
  const quadratic = references >= 4 ? fitCurve(reference, reading, 'quadratic') : null;
  const bendProbability = quadratic && bendChance(quadratic);
  const lineMisses = straight.lackOfFit === null || straight.lackOfFit.probability < significance;
  const isBent = bendProbability !== null && bendProbability < significance;
  return { straight, quadratic, bendProbability, chosen: lineMisses && isBent ? 'quadratic' : 'straight' };
}

/** One curve through all readings. */
export function fitCurve(
  reference: Float64Array,
  reading: Float64Array,
  shape: CurveShape,
): CalibrationCurve {
  const columns = [reference.map(() => 1), reference];
  if (shape === 'quadratic') columns.push(reference.map((value) => value * value));
  const fit = leastSquares(columns, reading, undefined, { refine: true });
  const p = columns.length;
  return {
    shape,
    coefficients: [...fit.coefficients],
    standardErrors: columns.map((_, j) => Math.sqrt(fit.covariance[j * p + j])),
    residualSd: fit.residualSd,
    degreesOfFreedom: fit.degreesOfFreedom,
    lackOfFit: lackOfFit(reference, reading, fit),
  };
}

function bendChance({ coefficients, standardErrors, degreesOfFreedom }: CalibrationCurve): number | null {
  if (degreesOfFreedom < 1) return null;
  if (standardErrors[2] === 0) return coefficients[2] === 0 ? 1 : 0;
  return 2 * tSurvival(Math.abs(coefficients[2] / standardErrors[2]), degreesOfFreedom);
}

function lackOfFit(
  reference: Float64Array,
  reading: Float64Array,
  { rss, rank }: LeastSquaresFit,
): LackOfFit | null {
  const groups = new Map<number, number[]>();
  reference.forEach((value, i) => {
    groups.set(value, [...(groups.get(value) ?? []), reading[i]]);
  });
  const pureFreedom = reference.length - groups.size;
  const lackFreedom = groups.size - rank;
  if (pureFreedom < 1 || lackFreedom < 1) return null;
  let pure = 0;
  for (const values of groups.values()) {
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    pure += values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  }
  if (!(pure > 0)) return null;
  const statistic = Math.max(0, rss - pure) / lackFreedom / (pure / pureFreedom);
  return {
    statistic,
    degreesOfFreedom: [lackFreedom, pureFreedom],
    probability: fSurvival(statistic, lackFreedom, pureFreedom),
  };
}
