import { medianOfThree } from '../numerics/summary.js';

/**
 * Replaces single wild samples by the median of the three around them.
 * @param x n values at about even times
 * @param threshold distance from the cubic through the four neighbours, beyond which a sample that also stands above
 *   or below both its neighbours counts as wild; an honest extreme of ten samples a cycle lies within 2.5 % of its
 *   amplitude of that cubic
 * @returns a copy; the two samples at either end are left as they are
 */
export function withoutSpikes(x: Float64Array, threshold: number): Float64Array {
  const out = x.slice();
  for (let i = 2; i + 2 < x.length; i++) {
    const expected = (4 * (x[i - 1] + x[i + 1]) - x[i - 2] - x[i + 2]) / 6;
    if (Math.abs(x[i] - expected) > threshold) out[i] = medianOfThree(x[i - 1], x[i], x[i + 1]);
  }
  return out;
}

/** Largest minus smallest value, single wild samples left out. */
export function steadyRange(x: Float64Array): number {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < x.length; i++) {
    const value = i > 0 && i + 1 < x.length ? medianOfThree(x[i - 1], x[i], x[i + 1]) : x[i];
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return high > low ? high - low : 0;
}
