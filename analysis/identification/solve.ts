import { Glancer } from './glance.js';
import { foreseen, type Gram, gramOf, kaufmanStep, projectLinear } from './gram.js';
import type { FitProblem, Shape, ShapeName } from './problem.js';
import { RowReader } from './rows.js';

/** A converged (or best found) fit. */
export interface Fit {
  readonly shape: Shape;
  /** One per term, in the terms' order. */
  readonly coefficients: Float64Array;
  /** Residual sum of squares over the samples used, N². */
  readonly rss: number;
  readonly used: number;
}

/** How each shape parameter is searched: where it lies in `Shape`, on which scale, within what, and its longest step. */
const searched: Readonly<
  Record<ShapeName, { key: keyof Shape; scale: 'log' | 'linear'; low: number; high: number; most: number }>
> = {
  presliding: { key: 'presliding_m', scale: 'log', low: 3e-6, high: 2e-3, most: 0.7 },
  excess: { key: 'breakawayExcess', scale: 'linear', low: -0.3, high: 5, most: 0.5 },
  stribeck: { key: 'stribeckSpeed_m_per_s', scale: 'log', low: 2e-4, high: 0.05, most: 0.7 },
  start: { key: 'startState', scale: 'linear', low: -4, high: 4, most: 1 },
  lag: { key: 'lag_s', scale: 'linear', low: -0.01, high: 0.12, most: 0.004 },
  deadStroke: { key: 'deadStroke_m', scale: 'log', low: 1e-5, high: 0.02, most: 0.7 },
  airPower: { key: 'airPower', scale: 'log', low: 1, high: 12, most: 0.5 },
  stop: {
    key: 'stop_m',
    scale: 'linear',
    low: Number.NEGATIVE_INFINITY,
    high: Number.POSITIVE_INFINITY,
    most: 1e-3,
  },
};

/** A shape after a step, with the largest share of its longest step that any parameter moved. */
interface Moved {
  readonly shape: Shape;
  readonly moved: number;
  /** Whether a limit or a longest step cut any parameter's step short. */
  readonly cut: boolean;
}

/** Moves a shape's parameters by a step each on their own scales, kept within their limits. */
export function moveShape(shape: Shape, names: readonly ShapeName[], step: Float64Array): Moved {
  let to: Shape = shape;
  let moved = 0;
  let cut = false;
  names.forEach((name, j) => {
    const { key, scale, low, high, most } = searched[name];
    const capped = Math.max(-most, Math.min(most, step[j]));
    const from = shape[key];
    const wanted = scale === 'log' ? from * Math.exp(capped) : from + capped;
    const value = Math.max(low, Math.min(high, wanted));
    if (capped !== step[j] || value !== wanted) cut = true;
    moved = Math.max(moved, Math.abs(scale === 'log' ? Math.log(value / from) : value - from) / most);
    to = { ...to, [key]: value };
  });
  return { shape: alongPeak(shape, to), moved, cut };
}

/**
 * A recording knows the area of the Stribeck peak, excess times speed, better than either of them. So what steps of the
 * two come to, to first order, moves that area, and the excess follows from it: a search along the speed stays on track.
 */
function alongPeak(from: Shape, to: Shape): Shape {
  const faster = Math.log(to.stribeckSpeed_m_per_s / from.stribeckSpeed_m_per_s);
  const area = from.breakawayExcess * faster + to.breakawayExcess;
  const { low, high } = searched.excess;
  return { ...to, breakawayExcess: Math.max(low, Math.min(high, area * Math.exp(-faster))) };
}

/**
 * The damped step from a shape, as its gram has it. A parameter that stands at a limit and would go beyond it is held,
 * so that it does not drag the others along.
 */
export function stepWithin(
  gram: Gram,
  { terms, shapes }: FitProblem,
  shape: Shape,
  damping: number,
): { readonly step: Float64Array; readonly to: Moved } | null {
  const held = new Set<number>();
  for (;;) {
    const step = kaufmanStep(gram, terms.length, shapes.length, damping, held);
    if (!step) return null;
    const stuck = shapes.findIndex((name, j) => {
      const { key, low, high } = searched[name];
      return !held.has(j) && ((shape[key] <= low && step[j] < 0) || (shape[key] >= high && step[j] > 0));
    });
    if (stuck < 0) return { step, to: moveShape(shape, shapes, step) };
    held.add(stuck);
  }
}

/** Where a search starts: a shape, and the coefficients that go with it where they are known. */
export interface Start {
  readonly shape: Shape;
  readonly coefficients: Float64Array | null;
}

/**
 * Variable projection with Kaufman's Jacobian: at each trial shape the linear terms are solved exactly, and the
 * shape moves by a damped Gauss–Newton step on what they cannot explain. A last step that gains next to nothing is
 * taken without looking again.
 * @param problem samples, motion, terms and the shape parameters to search
 * @param start where to start from; parameters not in `problem.shapes` keep these values
 * @param stride use every stride-th sample
 * @param most shapes tried at most
 * @param tolerance relative gain in residual sum of squares at which the search ends
 * @param hopeless residual sum of squares beyond which the fit is of no use: a search that foresees no better gives up
 * @returns the best fit found, or null when the linear terms cannot be told apart
 * @see Golub & Pereyra, SIAM J. Numer. Anal. 10(2), 413–432, 1973; Kaufman, BIT 15, 49–57, 1975
 */
export function solve(
  problem: FitProblem,
  start: Start,
  stride: number,
  most: number,
  tolerance: number,
  hopeless = Number.POSITIVE_INFINITY,
): Fit | null {
  const p = problem.terms.length;
  const q = problem.shapes.length;
  let { shape } = moveShape(start.shape, problem.shapes, new Float64Array(q));
  const first = start.coefficients ?? bestOf(problem, [shape], stride)?.coefficients;
  if (!first) return null;
  const reader = new RowReader(problem);
  let current = gramOf(problem, reader, shape, first, stride);
  let linear = projectLinear(current, p);
  if (!linear) return null;
  let damping = 1e-3;
  for (let tried = 1; tried < most && q > 0; tried++) {
    const taken = stepWithin(current, problem, shape, damping);
    if (!taken) break;
    const { step, to } = taken;
    const expected = to.cut ? null : foreseen(current, p, step);
    if (expected && linear.rss - expected.rss <= tolerance * linear.rss) {
      if (expected.rss < linear.rss) return { shape: to.shape, ...expected };
      break;
    }
    if (expected && expected.rss > hopeless) break;
    const next = gramOf(problem, reader, to.shape, linear.coefficients, stride);
    const solved = projectLinear(next, p);
    if (solved && solved.rss <= linear.rss) {
      const gained = linear.rss - solved.rss;
      const before = linear.rss;
      shape = to.shape;
      linear = solved;
      current = next;
      damping = Math.max(1e-9, damping * 0.2);
      if (gained <= tolerance * before || to.moved < 1e-5) break;
    } else {
      if (to.moved < 1e-6) break;
      damping *= 8;
      if (damping > 1e8) break;
    }
  }
  return { shape, ...linear };
}

/** A few shapes, linear terms solved at each, the best first: a cheap look before a search. */
export function ranked(problem: FitProblem, shapes: readonly Shape[], stride: number): Fit[] {
  const glancer = new Glancer(problem, stride);
  return shapes
    .flatMap((shape) => {
      const linear = projectLinear(glancer.gramAt(shape), problem.terms.length);
      return linear ? [{ shape, ...linear }] : [];
    })
    .sort((a, b) => a.rss - b.rss);
}

/** The best of a few shapes, null where the linear terms cannot be told apart at any. */
export const bestOf = (problem: FitProblem, shapes: readonly Shape[], stride: number): Fit | null =>
  ranked(problem, shapes, stride)[0] ?? null;
