import { tQuantile, tSurvival } from './numerics/distributions.js';
import type { CurvePoint, Estimate } from './result.js';

/**
 * A value with its 95 % interval from its standard uncertainty.
 * @param value, standardError in any one unit; standardError >= 0
 * @param degreesOfFreedom of the standard error, > 0; Infinity (the default) for the normal distribution
 */
export function estimateOf(
  value: number,
  standardError: number,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): Estimate {
  const reach = coverage95(degreesOfFreedom) * standardError;
  return { value, standardError, low95: value - reach, high95: value + reach };
}

/** Standard errors that a 95 % interval reaches to each side: 1.96 for infinite degrees of freedom. */
export function coverage95(degreesOfFreedom = Number.POSITIVE_INFINITY): number {
  return tQuantile(0.975, degreesOfFreedom);
}

/**
 * Degrees of freedom at which a 95 % interval reaches so many standard errors, the inverse of `coverage95`.
 * @returns Infinity for 1.96 and less, 0.5 for the widest
 */
export function freedomOfCoverage(reach: number): number {
  // One tail at that reach says which side to go; the quantile would have to be solved for at every step.
  const isTooFew = (degreesOfFreedom: number) => tSurvival(reach, degreesOfFreedom) > 0.025;
  if (isTooFew(1e6)) return Number.POSITIVE_INFINITY;
  let low = Math.log(0.5);
  let high = Math.log(1e6);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (isTooFew(Math.exp(middle))) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** A point of a curve from the estimate of its force, signed like the velocity. */
export const curvePointOf = (
  velocity_m_per_s: number,
  { value, standardError, low95, high95 }: Estimate,
): CurvePoint => ({
  velocity_m_per_s,
  force_N: value,
  standardError_N: standardError,
  low95_N: low95,
  high95_N: high95,
});

/** An estimate in another unit; a negative factor turns the interval round. */
export function scaleEstimate(estimate: Estimate, factor: number): Estimate {
  const ends = [estimate.low95 * factor, estimate.high95 * factor] as const;
  return {
    value: estimate.value * factor,
    standardError: estimate.standardError * Math.abs(factor),
    low95: Math.min(...ends),
    high95: Math.max(...ends),
  };
}
