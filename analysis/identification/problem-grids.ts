import type { KernelName } from '../result.js';
import type { Trace } from '../trace.js';
import { blocksOf, sampledSpans } from './blocks.js';
import { travelSinceReversal } from './columns.js';
import { averagingsOf, mostAveragings } from './converter-kernel.js';
import type { Span } from './motion-grid.js';
import { motionOnGrid, type RecordedMotion } from './prepare.js';
import type { FitProblem } from './problem.js';
import { medianPeriod } from './samples.js';
import type { Model } from './supported-model.js';

/** No load cell's converter is faster; a shorter period is one of stamps in bursts, and would ask for a huge grid. */
const shortestPeriod_s = 0.1e-3;
/** Samples on which shapes and kernel are searched, at most; all of them polish the result. */
const searchSamples = 6000;
/** Time of a long recording that is searched: enough for those samples, and for several cycles at each speed. */
const searchTime_s = (period_s: number): number => Math.max(80, searchSamples * period_s);
/** A little longer than the longest lag that is searched. */
const longestMemory_s = 0.13;
type BlockedGrid = Pick<FitProblem, 'grid' | 'blocks' | 'kept'>;

/** What one identification works on throughout. */
export interface Recording {
  readonly trace: Trace;
  readonly motion: RecordedMotion;
  readonly counts: Uint8Array;
  readonly period_s: number;
  /** Grids made so far, by what they are for. */
  readonly grids: Map<string, BlockedGrid>;
}

export const recordingOf = (trace: Trace, motion: RecordedMotion, counts: Uint8Array): Recording => ({
  trace,
  motion,
  counts,
  period_s: Math.max(shortestPeriod_s, trace.rig.conversionPeriod_s ?? medianPeriod(trace.force.time_s)),
  grids: new Map(),
});

/** Stride that leaves about `searchSamples` of the samples that a problem's blocks hold. */
export function strideOver({ blocks, grid, time_s }: FitProblem): number {
  const read_s = blocks.reduce((sum, { first, end }) => sum + (end - first) * grid.step_s, 0);
  const share = Math.min(1, read_s / (time_s[time_s.length - 1] - time_s[0]));
  return Math.max(1, Math.floor((share * time_s.length) / searchSamples));
}

/** The problem of a model under a kernel, on enough of the recording to search on or on all of it. */
export function problemFor(
  recording: Recording,
  kernel: KernelName,
  { terms, shapes, features }: Model,
  extent: 'coarse sample' | 'fine sample' | 'fine',
): FitProblem {
  const { trace, motion, counts, grids } = recording;
  const averagings = averagingsOf[kernel];
  const { step_s, width } = gridOf(recording, averagings, extent === 'coarse sample');
  const key = `${extent} ${step_s}`;
  const grid = grids.get(key) ?? blockedGrid(recording, step_s, width, extent);
  grids.set(key, grid);
  return {
    time_s: trace.force.time_s,
    force_N: trace.force.force_N,
    counts,
    ...grid,
    span: { low_m: motion.low_m, high_m: motion.high_m, fastest_m_per_s: motion.fastest_m_per_s },
    width: averagings === 0 ? 1 : width,
    averagings,
    features: { ...features, travel_m: features.travel_m && travelSinceReversal(grid.grid.position_m) },
    terms,
    shapes,
  };
}

/**
 * Step of a grid and how many of them are one conversion. Kernels that are compared share a grid, so that motion and
 * seal are known as finely to each.
 */
function gridOf(
  { trace, period_s }: Recording,
  averagings: number,
  coarse: boolean,
): { step_s: number; width: number } {
  if (averagings === 0 && !(coarse && trace.rig.kernel === null))
    return { step_s: coarse ? Math.min(period_s, 2e-3) : Math.min(period_s / 2, 1.2e-3), width: 1 };
  const wanted_s = coarse ? 1.5e-3 : 0.75e-3;
  const width = Math.max(coarse ? 2 : 6, Math.min(16, Math.ceil(period_s / wanted_s)));
  return { step_s: period_s / width, width };
}

/** The motion on a grid, whole or as much of it as is searched, in blocks that reach back for averaging. */
function blockedGrid(
  { trace, motion, period_s }: Recording,
  step_s: number,
  width: number,
  extent: 'coarse sample' | 'fine sample' | 'fine',
): BlockedGrid {
  const times = trace.force.time_s;
  const past_s = width > 1 ? mostAveragings * period_s : 0;
  // Early enough for the converter's past and the longest lag.
  const whole: Span = {
    from_s: times[0] - longestMemory_s - past_s,
    to_s: times[times.length - 1] + 20 * step_s,
  };
  const sampled =
    extent === 'fine' ? null : sampledSpans(motion.strokes.strokes, whole, searchTime_s(period_s));
  const grid = motionOnGrid(motion, sampled?.spans ?? [whole], step_s);
  const blocks = blocksOf(grid, mostAveragings * (width - 1) + 1, sampled?.runIn_s ?? [0]);
  return { grid, blocks, kept: extent === 'fine' ? null : blocks.map(() => new Map()) };
}
