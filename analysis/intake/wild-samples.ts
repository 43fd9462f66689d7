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
  return withoutThose(channel, wild);
}

/**
 * Leaves out single samples that stand off a smooth motion farther than its noise reaches.
 * @param channel n values of something with inertia, in any unit
 * @param limit distance from the cubic through the two samples on either side that noise does not reach
 * @returns the channel without them; what it was given where there are none, or too many to be accidents
 * Numerical notes: the cubics use the samples' own times. Without a wild sample its neighbours lie on cubics of their own
 *   to within a fifth of its distance; at a kink of the path they stay three tenths off. Nothing is judged where of six
 *   steps one is more than three times another.
 */
export function withoutGlitches(channel: Channel, limit: number): Channel {
  const { time_s, values } = channel;
  const wild: number[] = [];
  for (let i = 3; i + 3 < values.length; i++) {
    // A glance as if steps were even comes first.
    const expected = (4 * (values[i - 1] + values[i + 1]) - values[i - 2] - values[i + 2]) / 6;
    if (!(Math.abs(values[i] - expected) > limit) || !stepsAlike(time_s, i)) continue;
    const off = Math.abs(offCubic(channel, i, [i - 2, i - 1, i + 1, i + 2]));
    const left = Math.abs(offCubic(channel, i - 1, [i - 3, i - 2, i + 1, i + 2]));
    const right = Math.abs(offCubic(channel, i + 1, [i - 2, i - 1, i + 2, i + 3]));
    if (off > limit && Math.max(left, right) < off / 5) wild.push(i);
  }
  return wild.length > mostShare * values.length ? channel : withoutThose(channel, wild);
}

/** Whether no step within three samples is longer than three times another. */
function stepsAlike(time_s: Float64Array, i: number): boolean {
  let shortest = Number.POSITIVE_INFINITY;
  let longest = 0;
  for (let k = i - 2; k <= i + 3; k++) {
    shortest = Math.min(shortest, time_s[k] - time_s[k - 1]);
    longest = Math.max(longest, time_s[k] - time_s[k - 1]);
  }
  return longest <= 3 * shortest;
}

/** A value less that of the cubic through four others (Lagrange's form). */
function offCubic({ time_s, values }: Channel, i: number, through: readonly number[]): number {
  let expected = 0;
  for (const k of through) {
    let weight = 1;
    for (const j of through) if (j !== k) weight *= (time_s[i] - time_s[j]) / (time_s[k] - time_s[j]);
    expected += weight * values[k];
  }
  return values[i] - expected;
}

const withoutThose = ({ time_s, values }: Channel, indices: readonly number[]): Channel =>
  indices.length === 0
    ? { time_s, values }
    : { time_s: without(time_s, indices), values: without(values, indices) };

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
