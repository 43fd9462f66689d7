import { believeBends } from './bends.js';
import {
  type ClusteredGram,
  clusterCovariance,
  clusteredGramOf,
  type FitCovariance,
  standardError,
  withoutColumns,
} from './covariance.js';
import { type Featured, withCeilingOn } from './features.js';
import { foreseen, projectLinear, squaresLeft } from './gram.js';
import type { FitProblem, Shape } from './problem.js';
import { RowReader } from './rows.js';
import { type Fit, moveShape, stepWithin } from './solve.js';
import {
  isShape,
  leastSupported,
  leastTerm,
  modelWithout,
  mostStartError,
  type Part,
  shapeWithout,
  wandering,
  weakest,
} from './supported-model.js';

/** A fit to all samples with its covariance. */
export interface Polished extends Featured {
  readonly covariance: FitCovariance;
}

/**
 * Looks at all samples after which the shape is taken as it stands, and what is not supported is shed from there. Two
 * or three are usual; more, where the shape has a flat direction to wander in.
 */
const mostLooks = 10;
/**
 * Looks after which a shape that still moves is asked whether it gets anywhere: every parameter's step within this share
 * of its standard error is as good as none.
 */
const patience = 2;
const slightStep = 0.5;
/**
 * Gain in residual sum of squares, in residual variances, below which a step is taken without looking again: a third
 * of a standard error, of which the cross products miss only what is not linear. After a step that went too far in
 * a flat direction, a standard error or two are as good as nothing.
 */
const settledGain = 0.1;
const settledAfterMiss = 4;
/** Share of the longest step below which a shape stands still, and a damping under which it does. */
const still = 1e-5;
const immovable = 1e15;

/** A problem looked at: its cross products at a shape, and the residual sum of squares there. */
interface Look {
  readonly problem: FitProblem;
  readonly shape: Shape;
  readonly gram: ClusteredGram;
  readonly rss: number;
}

/**
 * Brings a fit found on some of the samples to all of them by Gauss–Newton steps. Cross products are kept cluster by
 * cluster, so that the covariance, and leaving terms out, need no further look at the samples.
 * @param problem the problem on its fine grid with all its blocks; terms, shapes and features as in `found`
 * @param found the fit to start from
 * @param clusterOf cluster of each force sample, not decreasing
 * @returns null where not even drag and a constant can be told apart
 */
export function polish(problem: FitProblem, found: Featured, clusterOf: Int32Array): Polished | null {
  let next: Featured = { problem, fit: found.fit };
  let accepted: Look | null = null;
  let damping = 1e-6;
  let ceilingFrom = found;
  for (let looks = 0; looks < 2 * mostLooks; looks++) {
    const look = lookAt(next, ceilingFrom, clusterOf);
    const missed = accepted !== null && look.rss > accepted.rss;
    damping = missed ? Math.max(1e-3, 10 * damping) : Math.max(1e-9, 0.1 * damping);
    if (!accepted || !missed) accepted = look;
    const weary = looks >= mostLooks;
    const verdict: Verdict = judge(
      accepted,
      weary ? immovable : damping,
      missed ? settledAfterMiss : settledGain,
      looks >= patience,
    );
    if ('polished' in verdict) return verdict.polished;
    ({ accepted, next } = verdict);
    if (next.problem.terms.includes('ceiling')) ceilingFrom = next;
  }
  return null;
}

/** What a look leads to: the end (null: nothing can be told apart), or another look, from `accepted` or quite anew. */
type Verdict =
  | { readonly polished: Polished | null }
  | { readonly accepted: Look | null; readonly next: Featured };

function judge(from: Look, damping: number, enough: number, impatient: boolean): Verdict {
  // Terms are shed without another look; shape parameters change what is seen.
  for (let look = from; ; ) {
    if (forgotStart(look)) look = without(look, ['start']);
    const { problem, gram } = look;
    const stepped = stepFrom(look, damping, enough);
    const covariance =
      stepped && (stepped.settled || impatient) ? clusterCovariance(gram, stepped.parameters) : null;
    const settled = stepped?.settled || (covariance !== null && standsStill(stepped!, problem, covariance));
    let parts: readonly Part[] | null;
    if (!stepped) parts = leastTerm(problem.terms);
    else if (!settled) {
      parts = covariance && wandering(problem, look.shape, covariance);
      if (!parts) return { accepted: look, next: { problem, fit: stepped.fit } };
    } else if (!covariance) parts = weakest(problem);
    else {
      const believed = believeBends(problem, stepped.parameters, covariance);
      const fit = fitWith(look, believed.parameters);
      parts = leastSupported(problem, fit, believed.covariance);
      if (!parts) return { polished: { problem, fit, covariance: believed.covariance } };
    }
    if (!parts) return { polished: null };
    look = without(look, parts);
    if (!parts.some(isShape)) continue;
    const fit = fitAt(look);
    return fit ? { accepted: null, next: { problem: look.problem, fit } } : { polished: null };
  }
}

/** Whether no sample tells of the start state: a sliding level or three of it would not be seen beside the noise. */
function forgotStart({ problem: { terms, shapes }, gram: { products, size, used }, rss }: Look): boolean {
  const at = shapes.indexOf('start');
  if (at < 0) return false;
  const length = products[(terms.length + at) * (size + 1)];
  return Number.isFinite(rss) && mostStartError ** 2 * length < rss / used;
}

/** Whether a step leaves every shape parameter within a small share of its standard error. */
function standsStill(
  { parameters, cut }: NonNullable<ReturnType<typeof stepFrom>>,
  { terms, shapes }: FitProblem,
  covariance: FitCovariance,
): boolean {
  const p = terms.length;
  return (
    !cut &&
    shapes.every((_, j) => Math.abs(parameters[p + j]) <= slightStep * standardError(covariance, p + j))
  );
}

function lookAt({ problem: asked, fit }: Featured, ceilingFrom: Featured, clusterOf: Int32Array): Look {
  const problem = asked.features.atCeiling ? withCeilingOn(asked, ceilingFrom) : asked;
  const { shape, coefficients } = fit;
  const gram = clusteredGramOf(problem, new RowReader(problem), shape, coefficients, clusterOf);
  const rss = projectLinear(gram, problem.terms.length)?.rss ?? Number.POSITIVE_INFINITY;
  return { problem, shape, gram, rss };
}

function fitAt({ problem, shape, gram }: Look): Fit | null {
  const linear = projectLinear(gram, problem.terms.length);
  return linear && { shape, ...linear };
}

/** The fit at given coefficients and steps of the shape parameters, as a look has it. */
function fitWith({ problem: { terms, shapes }, shape, gram }: Look, parameters: Float64Array): Fit {
  return {
    shape: moveShape(shape, shapes, parameters.subarray(terms.length)).shape,
    coefficients: parameters.slice(0, terms.length),
    rss: squaresLeft(gram, parameters),
    used: gram.used,
  };
}

/**
 * A damped step from a look, linear terms moved along with the shape as the cross products have it.
 * @returns the fit after the step; `parameters` are its coefficients and shape steps, for the covariance; `settled`
 *   when it gains less than `enough`, in residual variances; null where the terms are singular
 */
function stepFrom(look: Look, damping: number, enough: number) {
  const fit = fitAt(look);
  if (!fit) return null;
  const { terms, shapes } = look.problem;
  const p = terms.length;
  const parameters = new Float64Array(p + shapes.length);
  parameters.set(fit.coefficients);
  const taken = shapes.length > 0 ? stepWithin(look.gram, look.problem, look.shape, damping) : null;
  if (!taken || taken.to.moved < still) return { fit, parameters, settled: true, cut: false };
  const { step, to } = taken;
  if (to.cut) return { fit: { ...fit, shape: to.shape }, parameters, settled: false, cut: true };
  const moved = foreseen(look.gram, p, step)!;
  parameters.set(moved.coefficients);
  parameters.set(step, p);
  const settled = fit.rss - moved.rss <= (enough * moved.rss) / look.gram.used;
  return { fit: { ...moved, shape: to.shape }, parameters, settled, cut: false };
}

/** The same look without some of its terms and shape parameters. */
function without({ problem, shape, gram }: Look, parts: readonly Part[]): Look {
  const names: readonly Part[] = [...problem.terms, ...problem.shapes];
  const fewer = withoutColumns(gram, new Set(parts.map((part) => names.indexOf(part))));
  const left = { ...problem, ...modelWithout(problem, parts) };
  const rss = projectLinear(fewer, left.terms.length)?.rss ?? Number.POSITIVE_INFINITY;
  return { problem: left, shape: shapeWithout(shape, parts), gram: fewer, rss };
}
