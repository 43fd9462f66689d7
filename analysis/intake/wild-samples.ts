import { medianOfThree } from '../numerics/summary.js';

/** A channel's times and values, of equal length. */
export interface Channel {
  readonly time_s: Float64Array;
  readonly values: Float64Array;
}

/** More wild samples than this share, and they are no accidents. */
const mostShare = 1 / 200;

/**
 * Leaves out single samples that stand far off what the four around them lead to expect: a broken bit, a loose wire.
 * One force of a meganewton would otherwise outweigh all others in a least-squares fit. The gap they leave is counted
 * as missing samples by whoever looks for gaps.
 * @param channel n values at about even times, in any unit
 * @param farOff distance that counts as wild, in ranges of the channel without single extremes
 * @returns the channel without them; the same channel where there are none, or too many to be accidents
 * Numerical notes: the expectation is the cubic through two samples on either side; the two samples at each end of the
 *   channel are never judged. Values so large that the cubic overflows count as wild.
 */
export function withoutWildSamples(channel: Channel, farOff: number): Channel {
  const { values } = channel;
  const limit = farOff * rangeOfMedians(values);
  if (!(limit > 0)) return channel;
  const wild: number[] = [];
  const most = mostShare * values.length;
  for (let i = 2; i + 2 < values.length; i++) {
    const x = values[i];
    const [before, after] = [values[i - 1], values[i + 1]];
    const expected = (4 * (before + after) - values[i - 2] - values[i + 2]) / 6;
    if (Math.abs(x - expected) > limit && Math.abs(x - medianOfThree(before, x, after)) > limit / 2)
      wild.push(i);
    if (wild.length > most) return channel;
  }
  return wild.length === 0
    ? channel
    : { time_s: without(channel.time_s, wild), values: without(values, wild) };
}

/** Largest less smallest of the medians of three neighbours. */
function rangeOfMedians(values: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 1; i + 1 < values.length; i++) {
    const middle = medianOfThree(values[i - 1], values[i], values[i + 1]);
    if (middle < low) low = middle;
    if (middle > high) high = middle;
  }
  return high - low;
}

function without(values: Float64Array, indices: readonly number[]): Float64Array {
  const kept = new Float64Array(values.length - indices.length);
  let next = 0;
  for (let i = 0, k = 0; i < values.length; i++)
    if (i === indices[next]) next++;
    else kept[k++] = values[i];
  return kept;
}
