import type { KernelName } from '../result.js';
import { averagingsOf } from './converter-kernel.js';
import type { Featured } from './features.js';
import type { Shape } from './problem.js';
import { problemFor, type Recording, strideOver } from './problem-grids.js';
import { commonSeal } from './seal-memory.js';
import { type Fit, ranked, solve } from './solve.js';
import type { Model } from './supported-model.js';

/** Of the samples that are searched on, every so many are enough to come near. */
const thinning = 4;
/** A second start, too, is followed where it leaves less than so many times the first's residual sum of squares. */
const asGood = 1.5;
const startShape: Shape = {
  ...commonSeal,
  startState: 0,
  lag_s: 0,
  deadStroke_m: 1e-3,
  airPower: 3,
  stop_m: 0,
};

/** A kernel with the best fit found under it. */
export interface Candidate extends Featured {
  readonly kernel: KernelName;
  /** Every stride-th sample was searched on. */
  readonly stride: number;
}

/** Searches on few samples, under each kernel that the converter may have. */
export function searchKernels(recording: Recording, model: Model): Candidate[] {
  const declared = recording.trace.rig.kernel;
  return declared
    ? [searchFirst(recording, declared, model)].filter((one) => one !== null)
    : race(recording, model);
}

/** Takes a search on to more samples. */
export function settle(near: Candidate): Candidate[] {
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
  const problem = problemFor(recording, kernel, model, 'coarse');
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
  { kernel: earlier, problem: model, fit: { shape, coefficients }, stride }: Candidate,
  kernel: KernelName,
  useless: number,
): Candidate | null {
  const problem = problemFor(recording, kernel, model, 'coarse');
  const lag_s = shape.lag_s + delayOf(recording, earlier) - delayOf(recording, kernel);
  const fit = solve(problem, { shape: { ...shape, lag_s }, coefficients }, stride, 20, 1e-3, useless);
  return fit && { kernel, problem, fit, stride };
}

/** Delay of a kernel's averaging, s. */
const delayOf = ({ period_s }: Recording, kernel: KernelName): number =>
  (averagingsOf[kernel] * period_s) / 2;

/** Averaging is believed when plain sampling leaves so many times the residual sum of squares. */
const believed = 1.08;

/**
 * A force cannot come before its motion: an averaging that asks for that by more than this share of a conversion but
 * smooths the position's noise, and has to explain so many times more.
 */
const mostAhead = 0.2;
const aheadBelieved = 1.4;

/** On few samples plain sampling stands for sure up to this, and a kernel that leaves more than that is out. */
const surelyPlain = 1.04;
const surelyOut = 1.3;

/** Of searches on few samples, those that may yet be the likeliest or leave the least. */
export function inTheRunning(near: readonly Candidate[]): Candidate[] {
  const least = near.reduce((rss, { fit }) => Math.min(rss, fit.rss), Number.POSITIVE_INFINITY);
  const plain = near.find(({ kernel }) => kernel === 'none');
  if (plain && plain.fit.rss <= surelyPlain * least)
    return near.filter((one) => one === plain || one.fit.rss === least);
  return near.filter((one) => one.fit.rss <= (one === plain ? aheadBelieved : 1) * surelyOut * least);
}

/**
 * The kernel with the least residual, unless plain sampling comes near it: averaged regressors carry less position
 * noise, which alone may lower the residual a little.
 */
export function likeliest(candidates: readonly Candidate[], { period_s }: Recording): Candidate | null {
  const left = ({ fit }: Candidate) =>
    fit.rss * (fit.shape.lag_s < -mostAhead * period_s ? aheadBelieved : 1);
  let best: Candidate | null = null;
  for (const one of candidates) if (!best || left(one) < left(best)) best = one;
  const plain = candidates.find(({ kernel }) => kernel === 'none');
  return best && plain && left(plain) < believed * left(best) ? plain : best;
}

/** A search that foresees more than this of the least residual sum of squares so far is given up. */
const hopeless = 2;

/** Plain sampling within this of the least residual may yet be what the converter does. */
const conceivable = 1.15;

/**
 * Lags of the chosen kernel, of the one with the least residual and of plain sampling where it is conceivable, as a
 * rectangular distribution, JCGM 100:2008, 4.3.7: what one kernel takes for its own delay another leaves to the lag.
 */
export function lagSpread(candidates: readonly Candidate[], chosen: KernelName): number {
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
