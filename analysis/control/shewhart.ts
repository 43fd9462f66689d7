import { normalCdf, tQuantile } from '../numerics/distributions.js';

/** Where a process has been while nothing was wrong with it. */
export interface Baseline {
  readonly mean: number;
  readonly standardDeviation: number;
  /** Values it was taken from. */
  readonly count: number;
}

export interface ControlLimits {
  readonly low: number;
  readonly centre: number;
  readonly high: number;
}

/** Expected range of two normal values over their standard deviation, 2/√π; tables print 1.128. */
const meanRangeOfTwo = 2 / Math.sqrt(Math.PI);

/** Mean and standard deviation of baseline values, at least two. */
export function baselineOf(values: readonly number[]): Baseline {
  if (values.length < 2) throw new RangeError(`a baseline of ${values.length} values; wanted at least 2`);
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, standardDeviation: Math.sqrt(squares / (values.length - 1)), count: values.length };
}

/**
 * Limits of a chart of individual values from their moving ranges: mean ± 3·MR̄/1.128.
 * @param values at least two, in time order
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2
 */
export function individualsLimits(values: readonly number[]): ControlLimits {
  const { mean } = baselineOf(values);
  const ranges = values.slice(1).map((value, i) => Math.abs(value - values[i]));
  const reach = (3 * (ranges.reduce((a, b) => a + b, 0) / ranges.length)) / meanRangeOfTwo;
  return { low: mean - reach, centre: mean, high: mean + reach };
}

/**
 * Limits for the next value of a check standard with a short history.
 * @param baseline of at least two values
 * @param width standard deviations that a long history would allow; 3 as on any Shewhart chart
 * @returns mean ± t·s·√(1 + 1/n), with Student's t at the chance that `width` stands for: wide while little is known
 *   (n = 5: 7.3·s), 3·s in the end
 * Source: check standard's chart, NIST/SEMATECH e-Handbook 2.2.2.1, which uses t where the baseline is short; the
 *   √(1 + 1/n) is the prediction interval of one further value
 */
export function checkLimits({ mean, standardDeviation, count }: Baseline, width = 3): ControlLimits {
  const t = tQuantile(normalCdf(width), count - 1);
  const reach = t * standardDeviation * Math.sqrt(1 + 1 / count);
  return { low: mean - reach, centre: mean, high: mean + reach };
}
