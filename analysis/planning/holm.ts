import { resolvableStandardErrors } from '../comparison/noncentral-t.js';
import { freedomOfCoverage } from '../estimate.js';
import { tSurvival } from '../numerics/distributions.js';
import type { Difference, DifferenceVerdict, Estimate } from '../result.js';

/**
 * Holm's adjusted p-values: a null hypothesis whose adjusted value is below α may be rejected, and the chance of
 * rejecting any true one among them all stays below α.
 * @param pValues 0 to 1, in any order
 * @returns adjusted values in the same order, never below the given ones
 * Source: S. Holm, "A simple sequentially rejective multiple test procedure", *Scand. J. Statist.* 6 (1979) 65-70
 */
export function holmAdjusted(pValues: readonly number[]): number[] {
  const order = pValues.map((_, i) => i).sort((a, b) => pValues[a] - pValues[b]);
  const adjusted = new Array<number>(pValues.length);
  let running = 0;
  order.forEach((at, rank) => {
    running = Math.max(running, Math.min(1, (pValues.length - rank) * pValues[at]));
    adjusted[at] = running;
  });
  return adjusted;
}

/** A difference judged together with others. */
export interface FamilyDifference extends Difference {
  /** Chance of so large a difference from nothing, for this one alone. */
  readonly pValue: number;
  readonly adjustedPValue: number;
  readonly familyVerdict: DifferenceVerdict;
}

/**
 * Judges differences that are looked at together, so that one false alarm among all of them stays below 5 %.
 * @param differences of one comparison or of several builds' comparisons
 * @returns the same with their p-values and verdicts for the family
 */
export function judgeTogether(differences: readonly Difference[], alpha = 0.05): FamilyDifference[] {
  const pValues = differences.map(({ difference }) => pValueOf(difference));
  const adjusted = holmAdjusted(pValues);
  return differences.map((difference, i) => ({
    ...difference,
    pValue: pValues[i],
    adjustedPValue: adjusted[i],
    familyVerdict:
      adjusted[i] >= alpha ? 'not-resolved' : difference.difference.value < 0 ? 'lower' : 'higher',
  }));
}

/**
 * What looking at several things at once costs: how much larger a difference must be to be resolved with 80 % power.
 * @param comparisons looked at together
 * @param degreesOfFreedom of the standard errors
 * @returns a factor of 1 or more; for ten comparisons 1.9 with three remounts a side and 1.3 with very many
 */
export function costOfComparisons(comparisons: number, degreesOfFreedom: number): number {
  return (
    resolvableStandardErrors(degreesOfFreedom, 0.8, 0.05 / comparisons) /
    resolvableStandardErrors(degreesOfFreedom)
  );
}

/** Two-sided p-value of an estimate against zero, with the degrees of freedom that its interval implies. */
export function pValueOf(estimate: Estimate): number {
  const { value, standardError, low95, high95 } = estimate;
  if (standardError === 0) return value === 0 ? 1 : 0;
  const degreesOfFreedom = freedomOfCoverage((high95 - low95) / 2 / standardError);
  return Math.min(1, 2 * tSurvival(Math.abs(value) / standardError, degreesOfFreedom));
}
