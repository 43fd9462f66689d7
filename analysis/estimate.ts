import { tQuantile } from './numerics/distributions.js';
import type { Estimate } from './result.js';

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
