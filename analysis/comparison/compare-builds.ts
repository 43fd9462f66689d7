import { tQuantile } from '../numerics/distributions.js';
import type { Comparison, Difference, Estimate, RecordingAnalysis } from '../result.js';
import { resolvableStandardErrors } from './noncentral-t.js';
import { comparedQuantities, type Measured } from './quantities.js';

/** Degrees of freedom where one remount a side leaves only what is known within the recordings. */
const withinRecordingOnly = 30;

/**
 * Compares two builds, each measured in one or more remounts, quantity by quantity.
 * Remounts spread more than one recording shows, so the recordings' values are compared, not their samples: the
 * variance between remounts is pooled over both sides and never taken below what the recordings' own standard
 * errors imply. With a single remount a side only the within-recording uncertainty is known.
 * @param before, after one analysis per remount, at least one each
 * @returns a difference (after less before) per quantity that at least one recording of each side supports
 * Source: two-sample t with pooled variance, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3
 */
export function compareBuilds(
  before: readonly RecordingAnalysis[],
  after: readonly RecordingAnalysis[],
): Comparison {
  if (before.length === 0 || after.length === 0)
    throw new RangeError('a comparison needs at least one recording before and one after');
  const temperature_degC = commonTemperature([...before, ...after]);
  const differences = comparedQuantities.flatMap((quantity) => {
    const sides = [before, after].map((side) =>
      side.map((analysis) => quantity.of(analysis, temperature_degC)).filter((value) => value !== null),
    );
    if (sides.some((side) => side.length === 0)) return [];
    return [difference(quantity.name, sides[0], sides[1])];
  });
  return { differences, temperature_degC, remounts: { before: before.length, after: after.length } };
}

function difference(quantity: string, before: readonly Measured[], after: readonly Measured[]): Difference {
  const df = before.length + after.length - 2;
  const spread = df > 0 ? (squares(before) + squares(after)) / df : 0;
  const within =
    [...before, ...after].reduce((sum, { standardError }) => sum + standardError ** 2, 0) /
    (before.length + after.length);
  const variance = Math.max(spread, within);
  const freedom = df > 0 ? df : withinRecordingOnly;
  const [left, right] = [mean(before), mean(after)];
  const standardError = Math.sqrt(variance * (1 / before.length + 1 / after.length));
  const change = estimate(right - left, standardError, freedom);
  return {
    quantity,
    before: estimate(left, Math.sqrt(variance / before.length), freedom),
    after: estimate(right, Math.sqrt(variance / after.length), freedom),
    difference: change,
    verdict: change.high95 < 0 ? 'lower' : change.low95 > 0 ? 'higher' : 'not-resolved',
    resolvable: resolvableStandardErrors(freedom) * standardError,
  };
}

const mean = (values: readonly Measured[]): number =>
  values.reduce((sum, { value }) => sum + value, 0) / values.length;

function squares(values: readonly Measured[]): number {
  const middle = mean(values);
  return values.reduce((sum, { value }) => sum + (value - middle) ** 2, 0);
}

function estimate(value: number, standardError: number, df: number): Estimate {
  const reach = tQuantile(0.975, df) * standardError;
  return { value, standardError, low95: value - reach, high95: value + reach };
}

/** Mean of the recordings' temperatures; null unless every recording has one. */
function commonTemperature(analyses: readonly RecordingAnalysis[]): number | null {
  let sum = 0;
  for (const { temperature_degC } of analyses) {
    if (temperature_degC === null) return null;
    sum += temperature_degC;
  }
  return sum / analyses.length;
}
