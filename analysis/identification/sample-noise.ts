import { selectInPlace } from '../numerics/summary.js';

/** Differences looked at, at most, spread over the record. */
const mostDifferences = 20000;
/** Mean square of the smaller half of normal deviates, by size, as a share of the whole. */
const smallerHalfShare = 0.1426;

/**
 * Noise of one sample from fourth differences over neighbouring samples, with the quantisation step's share as a
 * floor (a slow, coarsely quantised signal has long runs of equal values and differences of zero).
 * @param time_s, values a channel with increasing times, at least 5 samples
 * @returns standard deviation of one sample, in the channel's unit, at least 1e-9
 */
export function sampleNoise(time_s: Float64Array, values: Float64Array): number {
  const n = values.length;
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i < n; i++) {
    const d = Math.abs(values[i] - values[i - 1]);
    if (d > 0 && d < step) step = d;
  }
  const stride = Math.max(1, Math.floor(n / mostDifferences));
  const squares = new Float64Array(Math.ceil(n / stride));
  let count = 0;
  for (let i = 4; i < n; i += stride) {
    if (time_s[i] - time_s[i - 4] > 6 * (time_s[i] - time_s[i - 1])) continue;
    const d = values[i] - 4 * values[i - 1] + 6 * values[i - 2] - 4 * values[i - 3] + values[i - 4];
    squares[count++] = (d * d) / 70;
  }
  // The smaller half of the differences is free of motion on any stroke.
  const half = Math.max(1, count >> 1);
  selectInPlace(squares.subarray(0, count), half - 1);
  let sum = 0;
  for (let i = 0; i < Math.min(half, count); i++) sum += squares[i];
  const noise = Math.sqrt(sum / half / smallerHalfShare);
  const smallStep = Number.isFinite(step) && step > 1e-8 ? step : 0;
  return Math.max(noise, smallStep / Math.sqrt(12), 1e-9);
}
