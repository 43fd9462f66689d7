import { chiSquareUpperQuantile, fUpperQuantile, normalCdf } from '../numerics/distributions.js';

/**
 * Chance that a quantity lies inside its limits, given one measurement of it.
 * @param value measured, with its standard uncertainty (> 0), in the limits' unit
 * @param low, high limits; -Infinity or Infinity where there is none
 * @returns 0 to 1, for a normal distribution about the value
 * Source: JCGM 106:2012, conformance probability
 */
export function conformanceProbability(
  value: number,
  uncertainty: number,
  low: number,
  high: number,
): number {
  return normalCdf((high - value) / uncertainty) - normalCdf((low - value) / uncertainty);
}

/**
 * Chance that a quantity exactly at its limit is taken for good when the limits are drawn in by a guard band.
 * @param guardOverExpanded guard band over the expanded uncertainty U = 2u
 * @returns 4.9 % for 0.83, 2.3 % for 1, 0.14 % for 1.5
 * Source: ISO 14253-1 gives the guard band as the uncertainty itself, its 2017 edition a smaller one for a one-sided
 *   95 %; the factors are from memory, the chances follow from the normal distribution
 */
export function falseAcceptAtLimit(guardOverExpanded: number): number {
  return normalCdf(-2 * guardOverExpanded);
}

/**
 * Standard errors by which a whole curve, known by a few terms in each direction, stays inside its band everywhere
 * at once with 95 %.
 * @param terms fitted in each direction: 3 for linear and quadratic damping and its bend, 4 with drag
 * @param directions 1 or 2; the 5 % are shared out between them (Bonferroni)
 * @param degreesOfFreedom of the standard errors, Infinity where they are taken as known
 * @returns 2.45 for two terms in one direction
 * Source: Scheffé's method for all points of a regression, any regression text
 */
export function simultaneousReach(terms: number, directions: number, degreesOfFreedom: number): number {
  const tail = 0.05 / directions;
  if (!Number.isFinite(degreesOfFreedom)) return Math.sqrt(chiSquareUpperQuantile(tail, terms));
  return Math.sqrt(terms * fUpperQuantile(tail, terms, degreesOfFreedom));
}
