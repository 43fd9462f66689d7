/**
 * Nonlinear least squares inside bounds: Levenberg-Marquardt with projected steps.
 *
 * Each step is solved from the QR factors of the Jacobian (never from its square), with Moré's column scaling and
 * Nielsen's damping; a parameter resting on a bound that the gradient pushes against sits out the iteration.
 * Sources: Moré, "The Levenberg-Marquardt algorithm: implementation and theory" (1978); Nielsen, "Damping
 * parameter in Marquardt's method" (1999). Held against NIST StRD nonlinear sets in tests/published.
 */
import { applyQTransposed, type Factorization, factorInPlace, inverseGram, solveR } from './householder.js';
import { differenceJacobianInto } from './jacobian.js';
import { dot } from './linear.js';

export interface NonlinearProblem {
  /** p starting values; brought inside the bounds. */
  readonly start: ArrayLike<number>;
  /** Number of residuals n. */
  readonly residualCount: number;
  /** Writes the n (weighted) residuals at p parameters; a trial that gives a non-finite value is refused. */
  readonly residualsInto: (out: Float64Array, parameters: Float64Array) => void;
  /** Writes d residual / d parameter as p columns of n values; without it, central differences are taken. */
  readonly jacobianInto?: (columns: readonly Float64Array[], parameters: Float64Array) => void;
  /** p bounds each; -Infinity / Infinity where there is none. */
  readonly lower?: ArrayLike<number>;
  readonly upper?: ArrayLike<number>;
  /** Change that matters for each parameter, used for differences near zero; default a thousandth of the start, or 1e-3. */
  readonly typicalSize?: ArrayLike<number>;
  /** Most accepted steps; default 1000. */
  readonly maxIterations?: number;
  /** Step, relative to the parameters, at which to stop; default 1e-10. */
  readonly stepTolerance?: number;
  /** Relative reduction of the sum of squares, both foretold and found, at which to stop; default 1e-15. */
  readonly reductionTolerance?: number;
}

/** `no-better-step`: no step, however short, improves the fit any more, so that rounding is what is left. */
export type StopReason =
  | 'small-step'
  | 'small-reduction'
  | 'exact-fit'
  | 'no-better-step'
  | 'iteration-limit'
  | 'not-finite';

export interface NonlinearFit {
  readonly parameters: Float64Array;
  /** p × p, row major: residualSd²·(JᵀJ)⁻¹ of the free parameters; NaN for those on a bound or without effect. */
  readonly covariance: Float64Array;
  readonly standardErrors: Float64Array;
  readonly residuals: Float64Array;
  readonly rss: number;
  readonly residualSd: number;
  /** n minus the number of parameters not on a bound. */
  readonly degreesOfFreedom: number;
  /** Indices of the parameters that a bound holds at the end. */
  readonly onBound: readonly number[];
  /** Accepted steps. */
  readonly iterations: number;
  readonly reason: StopReason;
  /** False at the iteration limit and where the start or its Jacobian is not finite. */
  readonly converged: boolean;
}

/**
 * Longest step, in scaled parameters, relative to where it starts. A first step to a hundred times the start lands
 * where derivatives vanish and nothing leads back (NIST BoxBOD from its first start); 1 to 30 serve alike.
 */
const longestStep = 10;

interface Point {
  readonly x: Float64Array;
  readonly residuals: Float64Array;
  readonly rss: number;
}

interface Linearised {
  readonly free: readonly number[];
  readonly qr: Factorization;
  /** Qᵀ·(-residuals). */
  readonly target: Float64Array;
  /** Scale of each free parameter. */
  readonly scale: Float64Array;
}

/**
 * Minimises the sum of squared residuals.
 * @param problem residual function and start, optionally Jacobian, bounds and stopping rules
 * @returns the best point found, with its covariance and why the search stopped
 * Numerical notes: a local method; give several starts where the problem may have several minima.
 */
export function levenbergMarquardt(problem: NonlinearProblem): NonlinearFit {
  const {
    residualCount: n,
    maxIterations = 1000,
    stepTolerance = 1e-10,
    reductionTolerance = 1e-15,
  } = problem;
  const p = problem.start.length;
  const lower = Float64Array.from({ length: p }, (_, j) => problem.lower?.[j] ?? -Infinity);
  const upper = Float64Array.from({ length: p }, (_, j) => problem.upper?.[j] ?? Infinity);
  const typicalSize = Float64Array.from(
    { length: p },
    (_, j) => problem.typicalSize?.[j] ?? 1e-3 * (Math.abs(problem.start[j]) || 1),
  );
  const inside = (j: number, value: number): number => Math.min(upper[j], Math.max(lower[j], value));
  const evaluate = (x: Float64Array): Point => {
    const residuals = new Float64Array(n);
    problem.residualsInto(residuals, x);
    return { x, residuals, rss: squares(residuals) };
  };
  const jacobian = Array.from({ length: p }, () => new Float64Array(n));
  const largest = new Float64Array(p);
  const linearise = ({ x, residuals }: Point): Linearised => {
    if (problem.jacobianInto) problem.jacobianInto(jacobian, x);
    else differenceJacobianInto(jacobian, problem.residualsInto, x, residuals, lower, upper, typicalSize);
    const free: number[] = [];
    for (let j = 0; j < p; j++) {
      const uphill = dot(jacobian[j], residuals);
      const held = (x[j] <= lower[j] && uphill >= 0) || (x[j] >= upper[j] && uphill <= 0);
      if (!held) free.push(j);
      largest[j] = Math.max(largest[j], Math.sqrt(squares(jacobian[j])));
    }
    const qr = factorInPlace(
      free.map((j) => jacobian[j].slice()),
      0,
    );
    const target = residuals.map((r) => -r);
    applyQTransposed(qr, target);
    return { free, qr, target, scale: Float64Array.from(free, (j) => largest[j] || 1) };
  };

  let here = evaluate(Float64Array.from(problem.start, (value, j) => inside(j, value)));
  let reason: StopReason | null = Number.isFinite(here.rss) ? null : 'not-finite';
  let iterations = 0;
  let damping = 1e-3;
  while (!reason) {
    if (here.rss === 0) reason = 'exact-fit';
    else if (iterations >= maxIterations) reason = 'iteration-limit';
    if (reason) break;
    const model = linearise(here);
    const { free, scale } = model;
    const reach = Math.hypot(...free.map((j, k) => scale[k] * here.x[j]));
    for (let growth = 2, accepted = false; !accepted && !reason; growth *= 2) {
      const step = dampedStep(model, damping);
      const x = here.x.slice();
      free.forEach((j, k) => {
        x[j] = inside(j, x[j] + step[k]);
        step[k] = x[j] - here.x[j];
      });
      const length = Math.hypot(...step.map((s, k) => scale[k] * s));
      if (reach > 0 && length > longestStep * reach) {
        damping *= growth;
        continue;
      }
      const foretold = foretoldReduction(model, step);
      if (Number.isNaN(foretold)) {
        reason = 'not-finite';
        break;
      }
      const next = evaluate(x);
      const found = here.rss - next.rss;
      const floor = reductionTolerance * here.rss;
      if (Math.abs(found) <= floor && foretold <= floor) reason = 'small-reduction';
      else if (length <= stepTolerance * reach) reason = found > 0 ? 'small-step' : 'no-better-step';
      else if (damping > 1e100) reason = 'no-better-step';
      if (found > 0) {
        accepted = true;
        here = next;
        iterations++;
        damping *= Math.max(1 / 3, 1 - (2 * (found / foretold) - 1) ** 3);
      } else damping *= growth;
    }
  }
  return report(here, linearise(here), iterations, reason);
}

/** Step that minimises |R·s - target|² + damping·|scale·s|², by QR of the two blocks together. */
function dampedStep({ qr, target, scale }: Linearised, damping: number): Float64Array {
  const f = qr.columns.length;
  const stacked = qr.columns.map((column, k) => {
    const tall = new Float64Array(qr.rank + f);
    for (let i = 0; i < Math.min(k + 1, qr.rank); i++) tall[i] = column[i];
    tall[qr.rank + k] = Math.sqrt(damping) * scale[qr.order[k]];
    return tall;
  });
  const right = new Float64Array(qr.rank + f);
  right.set(target.subarray(0, qr.rank));
  const small = factorInPlace(stacked, 0);
  applyQTransposed(small, right);
  const solution = solveR(small, right);
  const step = new Float64Array(f);
  for (let k = 0; k < small.rank; k++) step[qr.order[small.order[k]]] = solution[k];
  return step;
}

/** |target|² - |target - R·step|²: what the straight-line model promises for the step. */
function foretoldReduction({ qr, target }: Linearised, step: Float64Array): number {
  let gain = 0;
  for (let i = 0; i < qr.rank; i++) {
    let moved = 0;
    for (let k = i; k < qr.columns.length; k++) moved += qr.columns[k][i] * step[qr.order[k]];
    gain += moved * (2 * target[i] - moved);
  }
  return gain;
}

function report(here: Point, { free, qr }: Linearised, iterations: number, reason: StopReason): NonlinearFit {
  const p = here.x.length;
  const degreesOfFreedom = here.residuals.length - free.length;
  const variance = degreesOfFreedom > 0 ? here.rss / degreesOfFreedom : Number.NaN;
  const inverse = inverseGram(qr);
  const covariance = new Float64Array(p * p).fill(Number.NaN);
  free.forEach((i, a) => {
    free.forEach((j, b) => {
      covariance[i * p + j] = variance * inverse[a * free.length + b];
    });
  });
  return {
    parameters: here.x,
    covariance,
    standardErrors: Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance[j * p + j])),
    residuals: here.residuals,
    rss: here.rss,
    residualSd: Math.sqrt(variance),
    degreesOfFreedom,
    onBound: Array.from({ length: p }, (_, j) => j).filter((j) => !free.includes(j)),
    iterations,
    reason,
    converged: reason !== 'iteration-limit' && reason !== 'not-finite',
  };
}

function squares(values: Float64Array): number {
  return dot(values, values);
}
