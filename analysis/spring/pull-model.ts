import { type LeastSquaresFit, leastSquares } from '../numerics/linear.js';
import { madToSd, median, medianAbsoluteDeviation } from '../numerics/summary.js';
import { type Correlation, residualCorrelation } from './correlated-residuals.js';

/** A pull's samples with the path behind each, in the order they were taken. */
export interface PullPath {
  /** −1 to 1 over the whole travel. */
  readonly z: Float64Array;
  readonly force_N: Float64Array;
  /** Travel from one sample to the next, positive into compression, in units of z. */
  readonly step: Float64Array;
  /** Smoothed, in z per sample; what oil resists. */
  readonly speed: Float64Array;
  readonly bothWays: boolean;
}

/** Force as level + slope·z + bend·z² with friction that shears before it slides. */
export interface PullModel {
  readonly level: number;
  readonly slope: number;
  readonly bend: number;
  /** The bend as it came out, whether it was asked for or not. */
  readonly bendSeen: { readonly value: number; readonly standardError: number };
  /** Sliding friction at z = 0, and its change with z; 0 where one way only was pulled. */
  readonly friction: number;
  readonly frictionSlope: number;
  /** What the oil adds was told from friction. */
  readonly oilKnown: boolean;
  /** Variance of level + slope·a + bend·b for any weights. */
  readonly varianceOf: (weights: readonly [number, number, number]) => number;
  readonly frictionError: number;
  readonly degreesOfFreedom: number;
  readonly residualSd_N: number;
}

/** Shares of half the travel over which friction builds up, as tried. */
const shearLengths = [0.002, 0.004, 0.008, 0.014, 0.022, 0.035, 0.06, 0.1, 0.16];
/** Samples that are enough to tell a shear length. */
const searched = 1000;
/** Friction counts as built up from this share of its level on. */
const builtUp = 0.99;
/** Standard errors that an optional term must differ from zero by. */
const significant = 4;
const wild = 6;

/**
 * Fits a pull over some of its samples.
 * @param inside samples to use; friction is followed through all of them
 * @returns null where the samples cannot tell level and slope
 * Numerical notes: the shear length is looked for among all samples; then those are used over which friction slides,
 *   whatever the way in which it built up. Terms that the data do not ask for (bend, the oil's part, friction that
 *   changes along the travel) are left out, so that they cost nothing; single wild samples are dropped once. Errors
 *   allow for correlation from sample to sample (`residualCorrelation`).
 */
export function fitPull(path: PullPath, inside: Int32Array): PullModel | null {
  const base: Term[] = path.bothWays ? ['level', 'slope', 'friction'] : ['level', 'slope'];
  const shear = path.bothWays ? shearLength(path, inside) : shearLengths[0];
  if (shear === null) return null;
  const sliding = path.bothWays ? slidingSamples(path, inside, shear) : inside;
  let best = fitTerms(path, sliding, base, shear);
  if (!best) return null;
  const used = withoutWild(best);
  best = fitTerms(path, used, base, shear) ?? best;
  let terms = base;
  let bendSeen = { value: 0, standardError: Number.POSITIVE_INFINITY };
  const optional: Term[] = path.bothWays ? ['bend', 'oil', 'growth'] : ['bend'];
  for (const term of optional) {
    const more = fitTerms(path, used, [...terms, term], shear);
    if (!more) continue;
    if (term === 'bend') bendSeen = { value: more.of('bend'), standardError: more.errorOf('bend') };
    if (!(Math.abs(more.of(term)) > significant * more.errorOf(term))) continue;
    best = more;
    terms = [...terms, term];
  }
  const { of, covarianceOf, correlation, residualSd } = best;
  const parts = ['level', 'slope', 'bend'] as const;
  return {
    level: of('level'),
    slope: of('slope'),
    bend: of('bend'),
    bendSeen,
    friction: of('friction'),
    frictionSlope: of('growth'),
    oilKnown: terms.includes('oil'),
    varianceOf: (weights) =>
      parts.reduce(
        (sum, a, i) =>
          sum + parts.reduce((part, b, j) => part + weights[i] * weights[j] * covarianceOf(a, b), 0),
        0,
      ),
    frictionError: best.errorOf('friction'),
    degreesOfFreedom: Math.max(
      1,
      Math.min(correlation.degreesOfFreedom, best.used.length / correlation.inflation) - terms.length,
    ),
    residualSd_N: residualSd,
  };
}

/** The length over which friction builds up that leaves the least; null where nothing can be fitted. */
function shearLength(path: PullPath, inside: Int32Array): number | null {
  const stride = Math.max(1, Math.floor(inside.length / searched));
  const some = inside.filter((_, k) => k % stride === 0);
  const left = (shear: number) =>
    fitTerms(path, some, ['level', 'slope', 'friction', 'start'], shear)?.rss ?? Number.POSITIVE_INFINITY;
  const tried = shearLengths.map(left);
  const k = tried.indexOf(Math.min(...tried));
  if (!Number.isFinite(tried[k])) return null;
  const between = [k - 1, k + 1].flatMap((other) =>
    shearLengths[other] ? [Math.sqrt(shearLengths[k] * shearLengths[other])] : [],
  );
  return between.reduce((best, shear) => (left(shear) < left(best) ? shear : best), shearLengths[k]);
}

/** Samples over which friction slides; all of them where those are few. */
export function slidingSamples(path: PullPath, inside: Int32Array, shear: number): Int32Array {
  const [state, held] = columnsOf(path, ['friction', 'start'], shear);
  const sliding = inside.filter(
    (i) => Math.abs(state[i]) >= builtUp * (1 - held[i]) && held[i] < 1 - builtUp,
  );
  return sliding.length > inside.length / 3 ? sliding : inside;
}

type Term = 'level' | 'slope' | 'bend' | 'friction' | 'start' | 'growth' | 'oil';

interface Fitted {
  readonly shear: number;
  readonly used: Int32Array;
  readonly rss: number;
  readonly residuals: Float64Array;
  readonly residualSd: number;
  readonly correlation: Correlation;
  readonly of: (term: Term) => number;
  readonly errorOf: (term: Term) => number;
  readonly covarianceOf: (one: Term, other: Term) => number;
}

function fitTerms(path: PullPath, used: Int32Array, terms: readonly Term[], shear: number): Fitted | null {
  if (used.length < terms.length + 5) return null;
  const all = columnsOf(path, terms, shear);
  const pick = (values: Float64Array) => Float64Array.from(used, (i) => values[i]);
  const fit: LeastSquaresFit = leastSquares(all.map(pick), pick(path.force_N));
  const correlation = residualCorrelation(fit.residuals);
  // What the terms took away from so few independent samples is missing in the residuals.
  const independent = used.length / correlation.inflation;
  const inflation = (correlation.inflation * independent) / Math.max(1, independent - terms.length);
  const place = (term: Term) => terms.indexOf(term);
  const covarianceOf = (one: Term, other: Term) => {
    const [i, j] = [place(one), place(other)];
    return i < 0 || j < 0 ? 0 : fit.covariance[i * terms.length + j] * inflation;
  };
  if (!(covarianceOf('level', 'level') >= 0 && covarianceOf('slope', 'slope') >= 0)) return null;
  return {
    shear,
    used,
    rss: fit.residuals.reduce((sum, r) => sum + r * r, 0),
    residuals: fit.residuals,
    residualSd: fit.residualSd,
    correlation,
    of: (term) => (place(term) < 0 ? 0 : fit.coefficients[place(term)]),
    errorOf: (term) => Math.sqrt(covarianceOf(term, term)),
    covarianceOf,
  };
}

function columnsOf({ z, step, speed }: PullPath, terms: readonly Term[], shear: number): Float64Array[] {
  const n = z.length;
  const state = new Float64Array(n);
  const held = new Float64Array(n).fill(1);
  for (let i = 1; i < n; i++) {
    const keep = Math.exp(-Math.abs(step[i]) / shear);
    const way = Math.sign(step[i]);
    state[i] = way + (state[i - 1] - way) * keep;
    held[i] = held[i - 1] * keep;
  }
  const columns: Record<Term, () => Float64Array> = {
    level: () => new Float64Array(n).fill(1),
    slope: () => z,
    bend: () => z.map((value) => value * value),
    friction: () => state,
    start: () => held,
    growth: () => state.map((value, i) => value * z[i]),
    oil: () => speed,
  };
  return terms.map((term) => columns[term]());
}

/** Samples whose residual is not a single wild one. */
function withoutWild({ used, residuals }: Fitted): Int32Array {
  const sd = madToSd * medianAbsoluteDeviation(residuals);
  const middle = median(residuals);
  return sd > 0 ? used.filter((_, k) => Math.abs(residuals[k] - middle) <= wild * sd) : used;
}
