import { choleskyFactor, choleskySolve, dot } from '../numerics/linear.js';
import type { TermName } from './columns.js';
import type { FitCovariance } from './covariance.js';
import type { Featured } from './features.js';
import type { FitProblem } from './problem.js';

/**
 * How damping bends away from its linear and quadratic part: v·|v|·L·(1 − 0.075·L), L = ln(|v|/v_top), is what a power of
 * 1.85 in place of 2 makes of turbulent flow, to second order, and nearly what any power from 1.8 to 2 does; it is also
 * about what a valve that opens little by little takes away.
 */
export const bends: readonly TermName[] = ['bendCompression', 'bendRebound'];

/** A fit with the bends that its damping may have, after its other terms, none as yet. */
export const withBends = ({ problem, fit }: Featured): Featured =>
  problem.terms.includes('quadraticCompression')
    ? {
        problem: { ...problem, terms: [...problem.terms, ...bends] },
        fit: { ...fit, coefficients: Float64Array.of(...fit.coefficients, ...bends.map(() => 0)) },
      }
    : { problem, fit };

/** Share of the bends' variance that stays in the intervals where none shows: one too small to show may be there. */
const unseen = 0.3;

/** A fit's parameters and their covariance. */
export interface Believed {
  readonly parameters: Float64Array;
  readonly covariance: FitCovariance;
}

/**
 * Draws a fit's bends towards none by the share of them that their errors explain, and the other parameters along as
 * their covariance has it. Bends within their errors are left out, and the others stay as sharp as without them but for
 * `unseen`; bends of many errors stay as they were found.
 * @param parameters coefficients by term, then steps of the shape parameters
 * @see Efron & Morris, J. Amer. Statist. Assoc. 68(341), 117–130, 1973 (from memory), for the share: the number of
 *   bends over their squared length in standard errors, at most 1
 */
export function believeBends(
  { terms }: FitProblem,
  parameters: Float64Array,
  covariance: FitCovariance,
): Believed {
  const at = bends.map((bend) => terms.indexOf(bend)).filter((index) => index >= 0);
  const { size, matrix } = covariance;
  const own = Float64Array.from(at.flatMap((a) => at.map((b) => matrix[a * size + b])));
  const factor = choleskyFactor(own, at.length);
  if (at.length === 0 || !factor) return { parameters, covariance };
  const found = Float64Array.from(at, (a) => parameters[a]);
  const lengthSquared = dot(found, choleskySolve(factor, at.length, found));
  const share = Math.min(1, at.length / lengthSquared);
  /** By how much each parameter moves with each bend. */
  const gains = Array.from({ length: size }, (_, a) =>
    choleskySolve(
      factor,
      at.length,
      Float64Array.from(at, (b) => matrix[a * size + b]),
    ),
  );
  return {
    parameters: parameters.map((value, a) => value - share * dot(gains[a], found)),
    covariance: {
      ...covariance,
      matrix: lessTaken(matrix, size, gains, at, share * (1 - unseen)),
      degreesOfFreedom: (contrast) =>
        covariance.degreesOfFreedom(contrastAsFound(contrast, gains, at, share)),
    },
  };
}

/** A covariance less a share of what the parameters at some places take with them, by their gains. */
function lessTaken(
  matrix: Float64Array,
  size: number,
  gains: readonly Float64Array[],
  at: readonly number[],
  share: number,
): Float64Array {
  const left = matrix.slice();
  for (let a = 0; a < size; a++)
    for (let j = 0; j < at.length; j++)
      for (let b = 0; b < size; b++) left[a * size + b] -= share * gains[a][j] * matrix[at[j] * size + b];
  return left;
}

/** A contrast of drawn parameters as one of those that were found. */
function contrastAsFound(
  contrast: Float64Array,
  gains: readonly Float64Array[],
  at: readonly number[],
  share: number,
): Float64Array {
  const asFound = contrast.slice();
  for (let j = 0; j < at.length; j++)
    for (let a = 0; a < contrast.length; a++) asFound[at[j]] -= share * contrast[a] * gains[a][j];
  return asFound;
}
