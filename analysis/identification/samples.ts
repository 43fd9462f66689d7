import { medianInPlace } from '../numerics/summary.js';
import type { Trace } from '../trace.js';
import { clippingLimit } from './clipping.js';
import { mostAveragings } from './converter-kernel.js';
import type { RecordedMotion } from './prepare.js';

export interface UsableSamples {
  /** 1 per force sample that may be used. */
  readonly counts: Uint8Array;
  readonly saturated: number;
}

/** Longest silence of the position channel across which the motion is known, in periods of that channel. */
const longestSilence = 20;
/** Longest lag for which a force remembers the motion before it, beside the converter's averaging. */
const longestLag_s = 0.13;
/** How much earlier than its motion a force may be stamped, and the grid step in which motion ends. */
const foresight_s = 0.012;
/** Share of the highest speed below which a motion that went on before the recording hardly shows in the force. */
const hardlyMoving = 0.02;

/**
 * Leaves out samples at the converter's limits, declared or seen as an extreme that comes again and again: they say only
 * that the force was at least that large. Leaves out, too, those whose motion nobody measured: before the position
 * channel begins (a shaft that moves by then moved before), after it ends and in its gaps.
 */
export function usableSamples(trace: Trace, motion: RecordedMotion): UsableSamples {
  const { force_N } = trace.force;
  const counts = new Uint8Array(force_N.length).fill(1);
  const low = trace.rig.forceLow_N ?? clippingLimit(force_N, -1) ?? Number.NEGATIVE_INFINITY;
  const high = trace.rig.forceHigh_N ?? clippingLimit(force_N, 1) ?? Number.POSITIVE_INFINITY;
  let saturated = 0;
  for (let i = 0; i < force_N.length; i++)
    if (force_N[i] <= low || force_N[i] >= high) {
      counts[i] = 0;
      saturated++;
    }
  leaveOutUnseen(counts, trace.force.time_s, trace.position.time_s, movesAtFirst(motion));
  return { counts, saturated };
}

function leaveOutUnseen(
  counts: Uint8Array,
  force_s: Float64Array,
  position_s: Float64Array,
  movedBefore: boolean,
): void {
  const longest_s = longestSilence * medianPeriod(position_s);
  const memory_s = longestLag_s + mostAveragings * medianPeriod(force_s.subarray(0, 1001));
  let i = 0;
  const leaveOut = (from_s: number, to_s: number) => {
    while (i < force_s.length && force_s[i] <= from_s) i++;
    for (; i < force_s.length && force_s[i] < to_s; i++) counts[i] = 0;
  };
  leaveOut(Number.NEGATIVE_INFINITY, position_s[0] + (movedBefore ? memory_s : 0));
  for (let k = 1; k < position_s.length; k++)
    if (position_s[k] - position_s[k - 1] > longest_s) leaveOut(position_s[k - 1], position_s[k] + memory_s);
  leaveOut(position_s[position_s.length - 1] - foresight_s, Number.POSITIVE_INFINITY);
}

function movesAtFirst({ nodes, strokes: { strokes } }: RecordedMotion): boolean {
  const fastest = strokes.reduce((most, { peakSpeed_m_per_s }) => Math.max(most, peakSpeed_m_per_s), 0);
  return Math.abs(nodes.velocity_m_per_s[0]) > hardlyMoving * fastest;
}

/** Fewest clusters that support a covariance of some twenty parameters, and more than which tell nothing new. */
export const leastClusters = 24;
const mostClusters = 128;

/**
 * Clusters of samples whose errors may belong together: whole cycles, or several in a row of a long recording; where
 * a recording has few, because each stroke has its own speed, equal parts of strokes.
 * @returns cluster number per force sample, not decreasing
 */
export function clustersOf(time_s: Float64Array, motion: RecordedMotion): Int32Array {
  const { strokes } = motion.strokes;
  const cycles = motion.feltStrokes / 2;
  const parts =
    cycles >= leastClusters
      ? 0.5 / Math.ceil(cycles / mostClusters)
      : Math.min(6, Math.ceil((2 * leastClusters) / motion.feltStrokes));
  const clusterOf = new Int32Array(time_s.length);
  let i = 0;
  for (let k = 0; k < time_s.length; k++) {
    while (i < strokes.length - 1 && strokes[i].end_s < time_s[k]) i++;
    const { start_s, end_s } = strokes[i];
    const share = Math.max(0, Math.min(0.999, (time_s[k] - start_s) / (end_s - start_s)));
    clusterOf[k] = Math.floor((i + share) * parts);
  }
  return clusterOf;
}

export function medianPeriod(time_s: Float64Array): number {
  const steps = new Float64Array(time_s.length - 1);
  for (let i = 1; i < time_s.length; i++) steps[i - 1] = time_s[i] - time_s[i - 1];
  return medianInPlace(steps);
}
