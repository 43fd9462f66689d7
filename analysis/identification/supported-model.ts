import { bends } from './bends.js';
import { noFeatures, type TermName } from './columns.js';
import { type FitCovariance, standardError } from './covariance.js';
import type { RecordedMotion } from './prepare.js';
import type { FitProblem, Shape, ShapeName } from './problem.js';
import type { Fit } from './solve.js';

/** What is fitted: terms, shape parameters and features, whatever the grid. */
export type Model = Pick<FitProblem, 'terms' | 'shapes' | 'features'>;

/** Something a model can do without. */
export type Part = TermName | ShapeName;

/** Fastest over slowest stroke at which damping can be told from drag. */
const leastSpeedRatio = 3;
/** Strokes from which on a single odd one at either end of the range no longer decides. */
const strokesToSpareOne = 20;

const always: readonly TermName[] = [
  'dragCompression',
  'dragRebound',
  'dragTaper',
  'dragBow',
  'offset',
  'gas1',
  'gas2',
  'gas3',
  'gas4',
];

/** Terms by the recording's range of stroke speeds alone, before anything is fitted. */
export function modelForSpeeds(motion: RecordedMotion): Model {
  const speeds = Float64Array.from(
    motion.strokes.strokes.filter((stroke) => stroke.complete),
    (stroke) => stroke.peakSpeed_m_per_s,
  ).sort();
  const spare = speeds.length >= strokesToSpareOne ? 1 : 0;
  const ratio = speeds.length > 0 ? speeds[speeds.length - 1 - spare] / speeds[spare] : 1;
  if (!(ratio > leastSpeedRatio))
    return { terms: always, shapes: ['presliding', 'start', 'lag'], features: noFeatures };
  return {
    terms: [
      ...always,
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

/** Standard error of the start state, in sliding levels, beyond which it is not known at all. */
export const mostStartError = 3;

/**
 * The term or shape parameter that the recording supports least, or null when all are supported.
 * Criteria: the quadratic terms stay while the standard error of their force at top speed is below half the damping
 * there, bends being given up before them; the moving mass, below itself or 50 g; the Stribeck effect, below 1 in its
 * excess and in the logarithm of its speed, the excess being above 0: where a seal breaks away with no more than it
 * slides with, a slow rise of drag with speed would only be taken from damping; the lag, below 10 ms; the start state,
 * below 3 sliding levels. Other terms are not judged here.
 */
export function leastSupported(
  { terms, shapes, span: { fastest_m_per_s: fastest } }: FitProblem,
  fit: Fit,
  covariance: FitCovariance,
): readonly Part[] | null {
  const errorAt = (at: number) => standardError(covariance, at);
  const of = (term: TermName) => fit.coefficients[terms.indexOf(term)] ?? 0;
  const errorOf = (term: TermName) => errorAt(terms.indexOf(term));
  const errorOfShape = (name: ShapeName) => errorAt(terms.length + shapes.indexOf(name));
  // Written so that an error that is not a number counts as one that is too large.
  for (const side of ['Compression', 'Rebound'] as const) {
    const [linear, quadratic] = [`linear${side}`, `quadratic${side}`] as const;
    if (!terms.includes(quadratic)) continue;
    const whole = Math.abs(of(linear) * fastest) + Math.abs(of(quadratic) * fastest ** 2);
    if (!(errorOf(quadratic) * fastest ** 2 <= 0.5 * whole))
      return terms.includes('bendCompression') ? bends : ['quadraticCompression', 'quadraticRebound'];
  }
  if (terms.includes('mass') && !(errorOf('mass') <= Math.max(0.05, Math.abs(of('mass'))))) return ['mass'];
  const breaksAway = fit.shape.breakawayExcess > 0 && errorOfShape('excess') <= 1;
  if (shapes.includes('stribeck') && !(breaksAway && errorOfShape('stribeck') <= 1))
    return ['excess', 'stribeck'];
  if (shapes.includes('lag') && !(errorOfShape('lag') <= 10e-3)) return ['lag'];
  if (shapes.includes('start') && !(errorOfShape('start') <= mostStartError)) return ['start'];
  return null;
}

/**
 * The Stribeck effect where it is too small for its speed to be told, or null: a search would wander along that speed
 * without gaining anything. Criterion: an excess within two standard errors of none, and more than 1 for the standard
 * error of the logarithm of its speed; or an excess more than two standard errors below none.
 */
export function wandering(
  { terms, shapes }: FitProblem,
  { breakawayExcess }: Shape,
  covariance: FitCovariance,
): readonly Part[] | null {
  if (!shapes.includes('stribeck')) return null;
  const errorOf = (name: ShapeName) => standardError(covariance, terms.length + shapes.indexOf(name));
  const slight = Math.abs(breakawayExcess) <= 2 * errorOf('excess');
  const none = breakawayExcess < -2 * errorOf('excess');
  return none || (slight && errorOf('stribeck') > 1) ? ['excess', 'stribeck'] : null;
}

/** What to give up first when the cross products of terms and shape parameters are singular. */
export function weakest({ terms, shapes }: Model): readonly Part[] | null {
  if (terms.includes('bendCompression')) return bends;
  if (shapes.includes('excess')) return ['excess', 'stribeck'];
  for (const name of ['start', 'lag', 'presliding'] as const) if (shapes.includes(name)) return [name];
  return leastTerm(terms);
}

/** What to give up first when the terms alone are singular. */
export function leastTerm(terms: readonly TermName[]): readonly Part[] | null {
  if (terms.includes('bendCompression')) return bends;
  const order = [
    'mass',
    'thinning',
    'dragBow',
    'dragTaper',
    'gas4',
    'gas3',
    'gas2',
    'quadraticRebound',
    'quadraticCompression',
    'gas1',
  ] as const;
  const least = order.find((term) => terms.includes(term));
  return least ? [least] : null;
}

const shapeNames: ReadonlySet<Part> = new Set<ShapeName>([
  'presliding',
  'excess',
  'stribeck',
  'start',
  'lag',
  'deadStroke',
  'airPower',
  'stop',
]);

/** Whether a part is searched rather than solved for. `stop` is a term, too, and counts as a shape. */
export const isShape = (part: Part): boolean => shapeNames.has(part);

export const modelWithout = ({ terms, shapes, features }: Model, parts: readonly Part[]): Model => ({
  terms: terms.filter((term) => !parts.includes(term)),
  shapes: shapes.filter((name) => !parts.includes(name)),
  features,
});

/** A shape in which the parts that were left out say nothing. */
export const shapeWithout = (shape: Shape, parts: readonly Part[]): Shape => ({
  ...shape,
  breakawayExcess: parts.includes('excess') ? 0 : shape.breakawayExcess,
  lag_s: parts.includes('lag') ? 0 : shape.lag_s,
  startState: parts.includes('start') ? 0 : shape.startState,
});
