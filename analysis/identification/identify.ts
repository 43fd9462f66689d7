import type { KernelName } from '../result.js';
import type { Trace } from '../trace.js';
import { blocksOf, sampledSpans } from './blocks.js';
import { travelSinceReversal } from './columns.js';
import { averagingsOf, mostAveragings } from './converter-kernel.js';
import { type Featured, findFeatures, withCeilingOn } from './features.js';
import type { Span } from './motion-grid.js';
import { type Polished, polish } from './polish.js';
import { motionOnGrid, type RecordedMotion } from './prepare.js';
import type { FitProblem, Shape } from './problem.js';
import { repeatedShare } from './repeats.js';
import { sampleNoise } from './sample-noise.js';
import { medianPeriod } from './samples.js';
import { commonSeal } from './seal-memory.js';
import { type Fit, ranked, solve } from './solve.js';
import { type Model, modelForSpeeds } from './supported-model.js';

/** A fitted recording: everything the report is made from. */
export interface Identification extends Polished {
  readonly kernel: KernelName;
  /** False where the rig declared the kernel. */
  readonly kernelChosen: boolean;
  /** Standard uncertainty of the lag from kernels that explain the recording about as well, s. */
  readonly kernelLag_s: number;
}

/** No load cell's converter is faster; a shorter period is one of stamps in bursts, and would ask for a huge grid. */
const shortestPeriod_s = 0.1e-3;
/** Samples on which shapes and kernel are searched, at most; all of them polish the result. */
const searchSamples = 6000;
/** Every so many of those are enough to come near. */
const thinning = 4;
/** A second start, too, is followed where it leaves less than so many times the first's residual sum of squares. */
const asGood = 1.5;
/** Time of a long recording that is searched: enough for those samples, and for several cycles at each speed. */
const searchTime_s = (period_s: number): number => Math.max(80, searchSamples * period_s);
/** A little longer than the longest lag that is searched. */
const longestMemory_s = 0.13;
const startShape: Shape = {
  ...commonSeal,
  startState: 0,
  lag_s: 0,
  deadStroke_m: 1e-3,
  airPower: 3,
  stop_m: 0,
};

type BlockedGrid = Pick<FitProblem, 'grid' | 'blocks' | 'kept'>;

/** What one identification works on throughout. */
interface Recording {
  readonly trace: Trace;
  readonly motion: RecordedMotion;
  readonly counts: Uint8Array;
  readonly period_s: number;
  /** Grids made so far, by what they are for. */
  readonly grids: Map<string, BlockedGrid>;
}

/** A kernel with the best fit found under it. */
interface Candidate extends Featured {
  readonly kernel: KernelName;
  /** Every stride-th sample was searched on. */
  readonly stride: number;
}

/**
 * Fits drag, damping, gas, moving mass and lag to a recording, choosing the converter's averaging by residual where
 * the rig does not declare it, and leaving out terms that the recording's speeds cannot support.
 * @param counts 1 per force sample that may be used
 * @param clusterOf cluster of each force sample, see `clusterCovariance`
 * @returns the identification, or null where not even drag and a constant can be told apart
 */
export function identify(
  trace: Trace,
  motion: RecordedMotion,
  counts: Uint8Array,
  clusterOf: Int32Array,
): Identification | null {
  const period_s = Math.max(
    shortestPeriod_s,
    trace.rig.conversionPeriod_s ?? medianPeriod(trace.force.time_s),
  );
  const recording: Recording = { trace, motion, counts, period_s, grids: new Map() };
  const near = searchKernels(recording, modelForSpeeds(motion));
  let candidates = inTheRunning(near).flatMap(settle);
  let best = likeliest(candidates);
  if (best && unexplained(recording, best)) {
    const sound = best;
    const found = withFeatures(sound);
    // What was not explained yet may have bent the choice of kernel, so the others get their chance too.
    if (found.problem !== sound.problem) {
      const { stride } = sound;
      candidates = near.map((one) =>
        one.kernel === sound.kernel ? found : withFeatures({ ...one, stride }),
      );
      best = likeliest(candidates);
    }
  }
  if (!best) return null;
  const { kernel } = best;
  const polished = polish(
    problemFor(recording, kernel, best.problem, 'fine'),
    refined(recording, best),
    clusterOf,
  );
  return (
    polished && {
      ...polished,
      kernel,
      kernelChosen: trace.rig.kernel === null,
      kernelLag_s: lagSpread(candidates, kernel),
    }
  );
}

/** Where only some cycles were searched, the fit on their fine grid: all samples then need only a look or two. */
function refined(recording: Recording, best: Candidate): Featured {
  if (best.problem.grid.spans.length === 1) return best;
  const fresh = problemFor(recording, best.kernel, best.problem, 'fine sample');
  const problem = fresh.features.atCeiling ? withCeilingOn(fresh, best) : fresh;
  const fit = solve(problem, best.fit, 1, 12, 1e-6);
  return fit ? { problem, fit } : best;
}

/** Searches on few samples, under each kernel that the converter may have. */
function searchKernels(recording: Recording, model: Model): Candidate[] {
  const declared = recording.trace.rig.kernel;
  return declared
    ? [searchFirst(recording, declared, model)].filter((one) => one !== null)
    : race(recording, model);
}

/** Takes a search on to more samples. */
function settle(near: Candidate): Candidate[] {
  const stride = near.stride / thinning;
  const fit = solve(near.problem, near.fit, stride, 20, 1e-4);
  return fit ? [{ ...near, fit, stride }] : [];
}

/**
 * Kernels other than plain sampling start from what that found, and one that cannot come near the best so far is not
 * searched to its end; plain sampling starts once more from the best.
 */
function race(recording: Recording, model: Model): Candidate[] {
  const plain = searchFirst(recording, 'none', model);
  if (!plain) return [];
  let best = plain;
  const others: Candidate[] = [];
  for (const kernel of ['one-conversion', 'sinc3', 'sinc4'] as const) {
    const other = searchFrom(recording, plain, kernel, hopeless * best.fit.rss);
    if (!other) continue;
    others.push(other);
    if (other.fit.rss < best.fit.rss) best = other;
  }
  const again = best === plain ? null : searchFrom(recording, best, 'none', hopeless * best.fit.rss);
  return [again && again.fit.rss < plain.fit.rss ? again : plain, ...others];
}

function searchFirst(recording: Recording, kernel: KernelName, model: Model): Candidate | null {
  const problem = problemFor(recording, kernel, model, 'coarse sample');
  const stride = thinning * strideOver(problem);
  const looks = ranked(
    problem,
    [0, 8e-3, 20e-3, 40e-3].map((lag_s) => ({ ...startShape, lag_s })),
    stride,
  );
  const starts = looks.filter(({ rss }, rank) => rank === 0 || (rank === 1 && rss < asGood * looks[0].rss));
  let best: Fit | null = null;
  for (const start of starts) {
    const fit = solve(problem, start, stride, 20, 1e-3);
    if (fit && (!best || fit.rss < best.rss)) best = fit;
  }
  return best && { kernel, problem, fit: best, stride };
}

/** Searches under another kernel from an earlier fit: what one takes for its own delay the other leaves to the lag. */
function searchFrom(
  recording: Recording,
  { kernel: earlier, problem: { terms, shapes, features }, fit: { shape, coefficients }, stride }: Candidate,
  kernel: KernelName,
  useless: number,
): Candidate | null {
  const problem = problemFor(recording, kernel, { terms, shapes, features }, 'coarse sample');
  const lag_s = shape.lag_s + delayOf(recording, earlier) - delayOf(recording, kernel);
  const fit = solve(problem, { shape: { ...shape, lag_s }, coefficients }, stride, 20, 1e-3, useless);
  return fit && { kernel, problem, fit, stride };
}

/** Delay of a kernel's averaging, s. */
const delayOf = ({ period_s }: Recording, kernel: KernelName): number =>
  (averagingsOf[kernel] * period_s) / 2;

/** Stride that leaves about `searchSamples` of the samples that a problem's blocks hold. */
function strideOver({ blocks, grid, time_s }: FitProblem): number {
  const read_s = blocks.reduce((sum, { first, end }) => sum + (end - first) * grid.step_s, 0);
  const share = Math.min(1, read_s / (time_s[time_s.length - 1] - time_s[0]));
  return Math.max(1, Math.floor((share * time_s.length) / searchSamples));
}

/** Averaging is believed when plain sampling leaves so many times the residual sum of squares. */
const believed = 1.08;

/** On few samples plain sampling stands for sure up to this, and a kernel that leaves more than that is out. */
const surelyPlain = 1.04;
const surelyOut = 1.3;

/** Of searches on few samples, those that may yet be the likeliest or leave the least. */
function inTheRunning(near: readonly Candidate[]): Candidate[] {
  const least = near.reduce((rss, { fit }) => Math.min(rss, fit.rss), Number.POSITIVE_INFINITY);
  const plain = near.find(({ kernel }) => kernel === 'none');
  if (plain && plain.fit.rss <= surelyPlain * least)
    return near.filter((one) => one === plain || one.fit.rss === least);
  return near.filter(({ fit }) => fit.rss <= surelyOut * least);
}

/**
 * The kernel with the least residual, unless plain sampling comes near it: averaged regressors carry less position
 * noise, which alone may lower the residual a little.
 */
function likeliest(candidates: readonly Candidate[]): Candidate | null {
  let best: Candidate | null = null;
  for (const one of candidates) if (!best || one.fit.rss < best.fit.rss) best = one;
  const plain = candidates.find(({ kernel }) => kernel === 'none');
  return best && plain && plain.fit.rss < believed * best.fit.rss ? plain : best;
}

/** A search that foresees more than this of the least residual sum of squares so far is given up. */
const hopeless = 2;

/** Plain sampling within this of the least residual may yet be what the converter does. */
const conceivable = 1.15;

/**
 * Lags of the chosen kernel, of the one with the least residual and of plain sampling where it is conceivable, as a
 * rectangular distribution, JCGM 100:2008, 4.3.7: what one kernel takes for its own delay another leaves to the lag.
 */
function lagSpread(candidates: readonly Candidate[], chosen: KernelName): number {
  const least = candidates.reduce((a, b) => (b.fit.rss < a.fit.rss ? b : a));
  const lags_s = candidates
    .filter(
      (one) =>
        one === least ||
        one.kernel === chosen ||
        (one.kernel === 'none' && one.fit.rss < conceivable * least.fit.rss),
    )
    .map(({ fit }) => fit.shape.lag_s);
  return (Math.max(...lags_s) - Math.min(...lags_s)) / 2 / Math.sqrt(3);
}

/**
 * Residual over the force's own sample-to-sample noise beyond which something is not explained yet, and the share of it
 * that must come back from stroke to stroke. Of 75 played recordings with air, a ceiling or a stop, the least share was
 * 0.36; of 50 sound ones, 45 were below 0.2.
 */
const suspicious = 1.5;
const leastRepeated = 0.2;

const withFeatures = (one: Candidate): Candidate => ({
  ...one,
  ...findFeatures(one.problem, one.fit, one.stride),
});

/** Whether a fit leaves more than noise, and that comes back with the motion. */
function unexplained({ trace, motion }: Recording, { problem, fit, stride }: Candidate): boolean {
  const { time_s, force_N } = trace.force;
  return (
    Math.sqrt(fit.rss / fit.used) > suspicious * sampleNoise(time_s, force_N) &&
    repeatedShare(problem, fit, motion.strokes.strokes, stride) > leastRepeated
  );
}

function problemFor(
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
 * Step of a grid and how many of them are one conversion. Kernels that are compared share a grid, so that what its
 * step costs in accuracy is the same for all.
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
