import type { KernelName } from '../result.js';
import type { Trace } from '../trace.js';
import { noFeatures, type TermName } from './columns.js';
import { averagingsOf } from './converter-kernel.js';
import { clusterCovariance, type FitCovariance } from './covariance.js';
import {
  accumulate,
  type Evaluation,
  evaluator,
  type FitProblem,
  type Shape,
  type ShapeName,
} from './evaluate.js';
import { type Featured, findFeatures, withCeilingOn } from './features.js';
import { sampleNoise } from './position-noise.js';
import { motionOnGrid, type RecordedMotion } from './prepare.js';
import { medianPeriod } from './samples.js';
import { type Fit, projectLinear, solve } from './solve.js';

/** A fitted recording: everything the report is made from. */
export interface Identification {
  readonly problem: FitProblem;
  readonly fit: Fit;
  readonly evaluation: Evaluation;
  readonly covariance: FitCovariance;
  readonly kernel: KernelName;
  /** False where the rig declared the kernel. */
  readonly kernelChosen: boolean;
}

/** Fastest over slowest stroke at which damping can be told from drag. */
const leastSpeedRatio = 3;
/** No load cell's converter is faster; a shorter period is one of stamps in bursts, and would ask for a huge grid. */
const shortestPeriod_s = 0.1e-3;
/** Samples on which shapes and kernel are searched; all samples polish the result. */
const searchSamples = 6000;
const startShape: Shape = {
  presliding_m: 0.08e-3,
  breakawayExcess: 0.3,
  stribeckSpeed_m_per_s: 4e-3,
  startState: 0,
  lag_s: 0,
  deadStroke_m: 1e-3,
  airPower: 3,
  stop_m: 0,
};
const gasTerms: readonly TermName[] = ['offset', 'gas1', 'gas2', 'gas3', 'gas4'];
const dragTerms: readonly TermName[] = ['dragCompression', 'dragRebound'];

/** What one identification works on throughout. */
interface Recording {
  readonly trace: Trace;
  readonly motion: RecordedMotion;
  readonly counts: Uint8Array;
  readonly period_s: number;
}

/** What is fitted: terms, shape parameters and features, on a grid made anew for search and for polishing. */
type Model = Pick<FitProblem, 'terms' | 'shapes' | 'features'>;

/** A kernel with the best fit found under it. */
interface Candidate extends Featured {
  readonly kernel: KernelName;
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
  const recording: Recording = { trace, motion, counts, period_s };
  const stride = Math.max(1, Math.floor(trace.force.time_s.length / searchSamples));
  const candidates = searchKernels(recording, supportedModel(motion), stride);
  let best = likeliest(candidates);
  if (best && unexplained(trace, best)) {
    // What is not explained yet may have bent the choice of kernel, so plain sampling gets its chance too.
    const plain = candidates.find(({ kernel }) => kernel === 'none');
    const retried = [...new Set([best, plain ?? best])];
    best = likeliest(
      retried.map((one) => ({ kernel: one.kernel, ...findFeatures(one.problem, one.fit, stride) })),
    );
  }
  return best && polish(recording, clusterOf, best);
}

function searchKernels(recording: Recording, model: Model, stride: number): Candidate[] {
  const declared = recording.trace.rig.kernel;
  const kernels: readonly KernelName[] = declared ? [declared] : ['none', 'one-conversion', 'sinc3', 'sinc4'];
  const found: Candidate[] = [];
  let start: Shape | null = null;
  for (const kernel of kernels) {
    const problem = problemFor(recording, kernel, true, model);
    const delay_s = (averagingsOf[kernel] * recording.period_s) / 2;
    const from: Shape | null = start === null ? scanShape(problem, stride) : later(start, -delay_s);
    const fit: Fit | null = from && solve(problem, from, stride, 20, 1e-4);
    if (!fit) continue;
    start ??= later(fit.shape, delay_s);
    found.push({ kernel, problem, fit });
  }
  return found;
}

const later = (shape: Shape, by_s: number): Shape => ({ ...shape, lag_s: shape.lag_s + by_s });

/**
 * The kernel with the least residual, unless plain sampling comes near it: averaged regressors carry less position
 * noise, which alone lowers the residual a little (up to 12 % on simulated fast converters, where a real sinc³ at
 * 80 samples/s lowers it by a third or more).
 */
function likeliest(candidates: readonly Candidate[]): Candidate | null {
  let best: Candidate | null = null;
  for (const one of candidates) if (!best || one.fit.rss < best.fit.rss) best = one;
  const plain = candidates.find(({ kernel }) => kernel === 'none');
  return best && plain && plain.fit.rss < 1.18 * best.fit.rss ? plain : best;
}

/** Residual over the force's own sample-to-sample noise beyond which something is not explained yet. */
const suspicious = 1.5;

function unexplained(trace: Trace, { fit }: Candidate): boolean {
  return Math.sqrt(fit.rss / fit.used) > suspicious * sampleNoise(trace.force.time_s, trace.force.force_N);
}

function polish(recording: Recording, clusterOf: Int32Array, best: Candidate): Identification | null {
  const { kernel } = best;
  let model: Model = best.problem;
  let { shape } = best.fit;
  let ceilingFrom: Featured = best;
  for (let round = 0; round < 6; round++) {
    const fresh = problemFor(recording, kernel, false, model);
    const problem = model.features.atCeiling ? withCeilingOn(fresh, ceilingFrom) : fresh;
    const fit = solve(problem, shape, 1, 12, 1e-5);
    if (!fit) {
      const fewer = dropOne(model.terms);
      if (!fewer) return null;
      model = { ...model, terms: fewer };
      continue;
    }
    ceilingFrom = { problem, fit };
    const evaluation = evaluator(problem)(fit.shape, fit.coefficients);
    const covariance = clusterCovariance(problem, evaluation, fit.coefficients, clusterOf);
    const unsupported = covariance
      ? leastSupported(problem, fit, covariance)
      : weakest(model.shapes, model.terms);
    if (!unsupported && covariance)
      return {
        problem,
        fit,
        evaluation,
        covariance,
        kernel,
        kernelChosen: recording.trace.rig.kernel === null,
      };
    if (!unsupported) return null;
    shape = withoutShape(fit.shape, unsupported);
    model = {
      ...model,
      terms: model.terms.filter((term) => !unsupported.includes(term)),
      shapes: model.shapes.filter((name) => !unsupported.includes(name)),
    };
  }
  return null;
}

/** Terms by the recording's range of stroke speeds alone, before anything is fitted. */
function supportedModel(motion: RecordedMotion): Model {
  const speeds = motion.strokes.strokes
    .filter((stroke) => stroke.complete)
    .map((stroke) => stroke.peakSpeed_m_per_s);
  const ratio = speeds.length > 0 ? Math.max(...speeds) / Math.min(...speeds) : 1;
  const terms = [...dragTerms, ...gasTerms];
  if (ratio <= leastSpeedRatio)
    return { terms, shapes: ['presliding', 'start', 'lag'], features: noFeatures };
  return {
    terms: [
      ...terms,
      'linearCompression',
      'linearRebound',
      'quadraticCompression',
      'quadraticRebound',
      'thinning',
      'mass',
    ],
    shapes: ['presliding', 'excess', 'stribeck', 'start', 'lag'],
    features: noFeatures,
  };
}

function problemFor(recording: Recording, kernel: KernelName, coarse: boolean, model: Model): FitProblem {
  const { trace, motion, counts, period_s } = recording;
  const averagings = averagingsOf[kernel];
  const wanted_s = coarse ? 1.5e-3 : 0.75e-3;
  const width = averagings === 0 ? 1 : Math.max(coarse ? 3 : 6, Math.min(16, Math.ceil(period_s / wanted_s)));
  const step_s =
    averagings === 0 ? Math.min(coarse ? period_s : period_s / 2, coarse ? 2e-3 : 1.2e-3) : period_s / width;
  const grid = motionOnGrid(motion, trace, step_s, 0.13 + averagings * period_s);
  return {
    time_s: trace.force.time_s,
    force_N: trace.force.force_N,
    counts,
    grid,
    span: { low_m: motion.low_m, high_m: motion.high_m },
    width,
    averagings,
    features: model.features,
    terms: model.terms,
    shapes: model.shapes,
  };
}

/** The best of a few shapes to start from; the search goes on from there. */
function scanShape(problem: FitProblem, stride: number): Shape | null {
  const evaluate = evaluator(problem);
  let start: Shape | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const lag_s of [0, 8e-3, 20e-3, 40e-3]) {
    const shape = { ...startShape, lag_s };
    const linear = projectLinear(
      accumulate(problem, evaluate(shape, null), null, stride),
      problem.terms.length,
    );
    if (linear && linear.rss < least) {
      least = linear.rss;
      start = shape;
    }
  }
  return start;
}

/**
 * The term or shape parameter that the recording supports least, or null when all are supported.
 * Criteria: the quadratic terms stay while the standard error of their force at top speed is below half the damping
 * there; the moving mass, below itself or 50 g; the Stribeck effect, below 1 in its excess and in the logarithm of
 * its speed; the lag, below 10 ms; the start state, below 3 sliding levels. Other terms are not judged here.
 */
function leastSupported(
  problem: FitProblem,
  fit: Fit,
  covariance: FitCovariance,
): readonly (TermName | ShapeName)[] | null {
  const { terms, shapes, grid } = problem;
  const p = terms.length;
  const error = (at: number) => Math.sqrt(Math.max(0, covariance.matrix[at * covariance.size + at]));
  let fastest = 0;
  for (const v of grid.velocity_m_per_s) fastest = Math.max(fastest, Math.abs(v));
  const of = (term: TermName) => fit.coefficients[terms.indexOf(term)] ?? 0;
  const errorOf = (term: TermName) => (terms.includes(term) ? error(terms.indexOf(term)) : 0);
  for (const side of ['Compression', 'Rebound'] as const) {
    const quadratic = `quadratic${side}` as const;
    const linear = `linear${side}` as const;
    if (!terms.includes(quadratic)) continue;
    const whole = Math.abs(of(linear) * fastest) + Math.abs(of(quadratic) * fastest ** 2);
    if (errorOf(quadratic) * fastest ** 2 > 0.5 * whole) return ['quadraticCompression', 'quadraticRebound'];
  }
  if (terms.includes('mass') && errorOf('mass') > Math.max(0.05, Math.abs(of('mass')))) return ['mass'];
  const stribeck = shapes.indexOf('stribeck');
  const excess = shapes.indexOf('excess');
  if (stribeck >= 0 && (error(p + stribeck) > 1 || error(p + excess) > 1)) return ['excess', 'stribeck'];
  const lag = shapes.indexOf('lag');
  if (lag >= 0 && error(p + lag) > 10e-3) return ['lag'];
  const start = shapes.indexOf('start');
  if (start >= 0 && error(p + start) > 3) return ['start'];
  return null;
}

/** What to give up first when the cross products are singular. */
function weakest(
  shapes: readonly ShapeName[],
  terms: readonly TermName[],
): readonly (TermName | ShapeName)[] | null {
  if (shapes.includes('excess')) return ['excess', 'stribeck'];
  if (shapes.includes('start')) return ['start'];
  if (shapes.includes('lag')) return ['lag'];
  if (shapes.includes('presliding')) return ['presliding'];
  const fewer = dropOne(terms);
  return fewer ? terms.filter((term) => !fewer.includes(term)) : null;
}

function dropOne(terms: readonly TermName[]): readonly TermName[] | null {
  for (const term of [
    'mass',
    'gas4',
    'gas3',
    'gas2',
    'quadraticRebound',
    'quadraticCompression',
    'gas1',
  ] as const)
    if (terms.includes(term)) return terms.filter((kept) => kept !== term);
  return null;
}

function withoutShape(shape: Shape, dropped: readonly (TermName | ShapeName)[]): Shape {
  let out = shape;
  if (dropped.includes('excess')) out = { ...out, breakawayExcess: 0 };
  if (dropped.includes('lag')) out = { ...out, lag_s: 0 };
  if (dropped.includes('start')) out = { ...out, startState: 0 };
  return out;
}
