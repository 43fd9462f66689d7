import { type Baseline, type ControlLimits, checkLimits } from './shewhart.js';

export interface EwmaChart {
  /** One value a measurement, in their order. */
  readonly averages: readonly number[];
  /** Limits at each measurement: narrow at first, then steady. */
  readonly limits: readonly ControlLimits[];
}

/** Common practice for small slow changes; the e-Handbook (2.3.5.2.2) quotes 0.2 to 0.3 after Hunter (1986). */
export const usualWeight = 0.2;

/**
 * Exponentially weighted moving average: slow to one odd value, quick to a drift that a Shewhart chart misses.
 * @param values in time order
 * @param baseline centre and standard deviation
 * @param weight λ of the newest value, above 0 to 1
 * @param width standard deviations of the average at the limits; where the baseline is short, wider by its t
 * @returns averages EWMAₜ = λ·Yₜ + (1 − λ)·EWMAₜ₋₁ from the baseline's mean, and their limits
 * Numerical notes: limits are ± width·s·√(λ/(2 − λ)·(1 − (1 − λ)^2t)), exact from the first value on; `steady` gives
 *   the handbook's, which leaves out the last factor.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4 and 2.3.5.2.2
 */
export function ewmaChart(
  values: readonly number[],
  baseline: Baseline,
  weight = usualWeight,
  width = 3,
): EwmaChart {
  if (!(weight > 0 && weight <= 1)) throw new RangeError(`a weight of ${weight}; wanted above 0 to 1`);
  const { mean } = baseline;
  const reach = checkLimits(baseline, width).high - mean;
  let average = mean;
  const averages = values.map((value) => {
    average = weight * value + (1 - weight) * average;
    return average;
  });
  const limits = values.map((_, i) => {
    const narrowing = Math.sqrt((weight / (2 - weight)) * (1 - (1 - weight) ** (2 * (i + 1))));
    return { low: mean - reach * narrowing, centre: mean, high: mean + reach * narrowing };
  });
  return { averages, limits };
}

/** The handbook's limits, which hold once many values have come: mean ± width·s·√(λ/(2 − λ)). */
export function steadyEwmaLimits(
  { mean, standardDeviation }: Baseline,
  weight = usualWeight,
  width = 3,
): ControlLimits {
  const reach = width * standardDeviation * Math.sqrt(weight / (2 - weight));
  return { low: mean - reach, centre: mean, high: mean + reach };
}
