import { resolvableStandardErrors } from '../comparison/noncentral-t.js';
import { coverage95 } from '../estimate.js';
import { chiSquareQuantile, normalCdf } from '../numerics/distributions.js';
import { type Spread, spreadLimits } from './spread.js';

export interface PowerOptions {
  /** Chance of resolving a difference that is there. */
  readonly power?: number;
  /** Chance of resolving one that is not, over all `comparisons` together. */
  readonly alpha?: number;
  /** Quantities or builds that are compared at once; the first step of Holm's procedure shares alpha between them. */
  readonly comparisons?: number;
}

/**
 * Smallest true difference of two builds that a number of remounts a side would resolve.
 * @param standardDeviation between remounts
 * @param remounts a side, from 2; or 1 where the spread is known from elsewhere with `knownFreedom`
 * @param knownFreedom degrees of freedom of a spread that is known beforehand and pooled with the remounts'
 * @returns in the unit of the standard deviation; with 3 remounts a side 3.07 of it
 */
export function resolvableDifference(
  standardDeviation: number,
  remounts: number,
  options: PowerOptions = {},
  knownFreedom = 0,
): number {
  const { power = 0.8, alpha = 0.05, comparisons = 1 } = options;
  const degreesOfFreedom = 2 * (remounts - 1) + knownFreedom;
  if (degreesOfFreedom < 1) return Number.POSITIVE_INFINITY;
  return (
    resolvableStandardErrors(degreesOfFreedom, power, alpha / comparisons) *
    standardDeviation *
    Math.sqrt(2 / remounts)
  );
}

export interface RemountPlan {
  /** A side, planned with the upper limit of the spread; null above `mostRemounts`. */
  readonly remounts: number | null;
  /** What the measured spread itself would ask for: the plan if it happened to be right. */
  readonly withMeasuredSpread: number | null;
  readonly upperSpread: number;
}

/** Nobody takes a shock off and on more often than that for one answer. */
export const mostRemounts = 60;

/**
 * Remounts a side that would resolve a difference.
 * @param difference that matters to the person, > 0: never the one that was just observed, which chance has shaped
 * @param spread between remounts as far as it is known; its upper 95 % limit is what the plan counts on, because a
 *   few remounts know it badly (three and three within a factor of 0.6 to 2.9)
 */
export function remountsNeeded(difference: number, spread: Spread, options: PowerOptions = {}): RemountPlan {
  const enough = (standardDeviation: number, remounts: number) =>
    resolvableDifference(standardDeviation, remounts, options) <= difference;
  const least = (standardDeviation: number): number | null => {
    if (!enough(standardDeviation, mostRemounts)) return null;
    let [few, many] = [1, mostRemounts];
    while (many - few > 1) {
      const middle = Math.floor((few + many) / 2);
      if (enough(standardDeviation, middle)) many = middle;
      else few = middle;
    }
    return many;
  };
  const upperSpread = spreadLimits(spread).high;
  return {
    remounts: least(upperSpread),
    withMeasuredSpread: least(spread.standardDeviation),
    upperSpread,
  };
}

/**
 * Tightest tolerance on a target that a perfect build would be found within, with the given chance.
 * @param standardDeviation of a force between remounts, relative or in N
 * @param remounts of the build, from 2; or 1 with a spread known from elsewhere
 * @returns in the unit of the standard deviation
 * Numerical notes: the chance that deviation and interval together stay inside, averaged over what the remounts may
 *   show of their spread, at 200 equally likely values of it.
 */
export function smallestTolerance(
  standardDeviation: number,
  remounts: number,
  power = 0.8,
  knownFreedom = 0,
): number {
  const degreesOfFreedom = remounts - 1 + knownFreedom;
  if (degreesOfFreedom < 1) return Number.POSITIVE_INFINITY;
  const coverage = coverage95(degreesOfFreedom);
  const reaches = Array.from(
    { length: 200 },
    (_, k) => coverage * Math.sqrt(chiSquareQuantile((k + 0.5) / 200, degreesOfFreedom) / degreesOfFreedom),
  );
  const chanceWithin = (tolerance: number) =>
    reaches.reduce((sum, reach) => sum + Math.max(0, 2 * normalCdf(tolerance - reach) - 1), 0) /
    reaches.length;
  let low = 0;
  let high = 10 + reaches[reaches.length - 1];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (chanceWithin(middle) < power) low = middle;
    else high = middle;
  }
  return high * (standardDeviation / Math.sqrt(remounts));
}
