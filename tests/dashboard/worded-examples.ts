import type { Difference, Estimate } from '../../analysis/index.js';

/** An estimate with a symmetric interval. */
export function estimate(value: number, halfWidth: number): Estimate {
  return {
    value,
    standardError: halfWidth / 2.78,
    low95: value - halfWidth,
    high95: value + halfWidth,
  };
}

/** A drag that fell from 1.26 to 0.84 N, but for what is given. */
export function difference(over: Partial<Difference>): Difference {
  return {
    quantity: 'friction_N',
    before: estimate(1.26, 0.05),
    after: estimate(0.84, 0.05),
    difference: estimate(-0.42, 0.071),
    verdict: 'lower',
    resolvable: 0.11,
    spread: { standardDeviation: 0.04, degreesOfFreedom: 4, basis: 'remounts' },
    ...over,
  };
}
