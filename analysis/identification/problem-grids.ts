import type { KernelName } from '../result.js';
import type { Trace } from '../trace.js';
import { blocksOf, type Sampled, sampledSpans } from './blocks.js';
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
export const searchTime_s = ({ period_s }: Recording): number => Math.max(80, searchSamples * period_s);
/** Points of a grid whose columns are kept, at most: twenty of them then take 80 MB. */
const mostKept = 2 ** 19;
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

/**
 * The problem of a model under a kernel, on all of a recording or on cycles spread over it.
 * @param step for searching, or what the data deserve
 * @param most_s about how much time of a long recording to take; what is searched, or all
 */
export function problemFor(
  recording: Recording,
  kernel: KernelName,
  { terms, shapes, features }: Model,
  step: 'coarse' | 'fine',
  most_s = step === 'coarse' ? searchTime_s(recording) : Number.POSITIVE_INFINITY,
): FitProblem {
  const { trace, motion, counts, grids } = recording;
  const { time_s, force_N } = trace.force;
  const averagings = averagingsOf[kernel];
  const { step_s, width } = gridOf(recording, averagings, step === 'coarse');
  const past_s = width > 1 ? mostAveragings * recording.period_s : 0;
  const whole: Span = {
    // Early enough for the converter's past and the longest lag.
    from_s: time_s[0] - longestMemory_s - past_s,
    to_s: time_s[time_s.length - 1] + 20 * step_s,
  };
  const sampled = sampledSpans(motion.strokes.strokes, whole, most_s);
  const key = `${step_s} ${sampled ? most_s : 'whole'}`;
  const grid =
    grids.get(key) ?? blockedGrid(motion, sampled ?? { spans: [whole], runIn_s: [0] }, step_s, width);
  grids.set(key, grid);
  return {
    time_s,
    force_N,
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

/** The motion on a grid in blocks that reach back for averaging; its columns are kept where it is not too long. */
function blockedGrid(
  motion: RecordedMotion,
  { spans, runIn_s }: Sampled,
  step_s: number,
  width: number,
): BlockedGrid {
  const grid = motionOnGrid(motion, spans, step_s);
  const blocks = blocksOf(grid, mostAveragings * (width - 1) + 1, runIn_s);
  const kept = width > 1 && grid.position_m.length <= mostKept ? blocks.map(() => new Map()) : null;
  return { grid, blocks, kept };
}
