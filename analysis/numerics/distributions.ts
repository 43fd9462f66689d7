/**
 * Normal, Student t, chi-square and F: cumulative and survival probabilities and their quantiles.
 *
 * Degrees of freedom are real numbers >= 1 (Satterthwaite's are seldom whole). An upper tail always has its own
 * function: 1 - cdf would lose everything below 1e-16. Probabilities and quantiles hold about 1e-13 relative;
 * near a quantile of exactly zero the distance of p from ½ is what limits. An argument outside its range is a
 * programming error and throws a RangeError.
 */
import { regularizedBeta, regularizedGamma, type Tails } from './special-functions.js';

/** P(Z <= z) of the standard normal distribution. */
export function normalCdf(z: number): number {
  return normalSurvival(-z);
}

/** P(Z > z) of the standard normal distribution; accurate down to the smallest representable probability. */
export function normalSurvival(z: number): number {
  const { lower, upper } = regularizedGamma(0.5, 0.5 * z * z);
  return z >= 0 ? 0.5 * upper : 0.5 + 0.5 * lower;
}

/**
 * Quantile of the standard normal distribution.
 * @param p probability below the quantile, 0..1; for an upper tail q use -normalQuantile(q)
 * @returns z with P(Z <= z) = p; -Infinity at 0, Infinity at 1
 */
export function normalQuantile(p: number): number {
  return symmetricQuantile(
    p,
    (magnitude) => {
      const tails = regularizedGamma(0.5, 0.5 * magnitude * magnitude);
      return { lower: tails.lower, upper: tails.upper, density: 2 * tails.density };
    },
    roughNormal,
  );
}

/**
 * P(T <= t) of Student's distribution.
 * @param t any real number
 * @param df degrees of freedom, real, > 0, Infinity for the normal distribution
 */
export function tCdf(t: number, df: number): number {
  return tSurvival(-t, df);
}

/** P(T > t) of Student's distribution; arguments as for `tCdf`. */
export function tSurvival(t: number, df: number): number {
  requireDegrees(df);
  if (df === Infinity) return normalSurvival(t);
  const { lower, upper } = tTails(Math.abs(t), df);
  return t >= 0 ? 0.5 * upper : 0.5 + 0.5 * lower;
}

/**
 * Quantile of Student's distribution.
 * @param p probability below the quantile, 0..1 (0.975 for a two-sided 95 % interval); for an upper tail q use
 *   -tQuantile(q, df)
 * @param df degrees of freedom, real, > 0, Infinity for the normal distribution
 * @returns t with P(T <= t) = p
 */
export function tQuantile(p: number, df: number): number {
  requireDegrees(df);
  let solved = solvedQuantiles.get(p);
  if (!solved || solved.size >= mostSolved) {
    solved = new Map();
    if (solvedQuantiles.size >= mostSolved) solvedQuantiles.clear();
    solvedQuantiles.set(p, solved);
  }
  let t = solved.get(df);
  if (t === undefined) {
    t = df === Infinity ? normalQuantile(p) : solvedQuantile(p, df);
    solved.set(df, t);
  }
  return t;
}

/** By p and degrees of freedom: a comparison or a picture asks for the same few quantiles thousands of times. */
const solvedQuantiles = new Map<number, Map<number, number>>();
const mostSolved = 1000;

function solvedQuantile(p: number, df: number): number {
  return symmetricQuantile(
    p,
    (magnitude) => tTails(magnitude, df),
    (tail) => {
      // Far out, P(T > t) behaves like t^-df; the leading term is a lower bound of t and a good start there.
      const a = 0.5 * df;
      const unit = regularizedBeta(0.5, 0.5, a, 0.5).density * 2 ** (a + 0.5);
      const x = ((2 * tail * a) / unit) ** (1 / a);
      return Math.max(roughNormal(tail), x > 0 && x < 1 ? Math.sqrt((df * (1 - x)) / x) : 0);
    },
  );
}

/** P(X <= x) of the chi-square distribution with real df > 0. */
export function chiSquareCdf(x: number, df: number): number {
  requireDegrees(df);
  return regularizedGamma(0.5 * df, 0.5 * x).lower;
}

/** P(X > x) of the chi-square distribution with real df > 0. */
export function chiSquareSurvival(x: number, df: number): number {
  requireDegrees(df);
  return regularizedGamma(0.5 * df, 0.5 * x).upper;
}

/** x with P(X <= x) = p of the chi-square distribution, p in 0..1, real df > 0. */
export function chiSquareQuantile(p: number, df: number): number {
  requireDegrees(df);
  return positiveQuantile(p, false, df, (x) => regularizedGamma(0.5 * df, 0.5 * x));
}

/** x with P(X > x) = q of the chi-square distribution, for tails too small to be written as 1 - q. */
export function chiSquareUpperQuantile(q: number, df: number): number {
  requireDegrees(df);
  return positiveQuantile(q, true, df, (x) => regularizedGamma(0.5 * df, 0.5 * x));
}

/** P(F <= f) of Fisher's distribution; d1, d2 > 0 are the numerator's and denominator's degrees of freedom. */
export function fCdf(f: number, d1: number, d2: number): number {
  return fTails(f, d1, d2).lower;
}

/** P(F > f) of Fisher's distribution; arguments as for `fCdf`. */
export function fSurvival(f: number, d1: number, d2: number): number {
  return fTails(f, d1, d2).upper;
}

/** f with P(F <= f) = p of Fisher's distribution, p in 0..1. */
export function fQuantile(p: number, d1: number, d2: number): number {
  return positiveQuantile(p, false, 1, (f) => fTails(f, d1, d2));
}

/** f with P(F > f) = q of Fisher's distribution, for tails too small to be written as 1 - q. */
export function fUpperQuantile(q: number, d1: number, d2: number): number {
  return positiveQuantile(q, true, 1, (f) => fTails(f, d1, d2));
}

/** Two-sided tails of |T|; density is d(lower)/d(ln t). */
function tTails(t: number, df: number): Tails {
  const t2 = t * t;
  const { lower, upper, density } = regularizedBeta(t2 / (df + t2), df / (df + t2), 0.5, 0.5 * df);
  return { lower, upper, density: 2 * density };
}

function fTails(f: number, d1: number, d2: number): Tails {
  requireDegrees(d1);
  requireDegrees(d2);
  const sum = d1 * f + d2;
  return regularizedBeta((d1 * f) / sum, d2 / sum, 0.5 * d1, 0.5 * d2);
}

/** Quantile of a distribution symmetric about zero from the two tails of its magnitude. */
function symmetricQuantile(
  p: number,
  tails: (magnitude: number) => Tails,
  start: (tail: number) => number,
): number {
  requireProbability(p);
  if (p === 0.5) return 0;
  const tail = Math.min(p, 1 - p);
  if (tail === 0) return p === 0 ? -Infinity : Infinity;
  const magnitude =
    tail < 0.25
      ? solve(start(tail), tails, 'upper', 2 * tail)
      : solve(start(tail), tails, 'lower', 2 * Math.abs(p - 0.5));
  return p < 0.5 ? -magnitude : magnitude;
}

/** Quantile of a distribution on the positive axis; `p` is an upper tail where `fromAbove`. */
function positiveQuantile(p: number, fromAbove: boolean, start: number, tails: (x: number) => Tails): number {
  requireProbability(p);
  if (p === 0 || p === 1) return (p === 0) === fromAbove ? Infinity : 0;
  const side = p <= 0.5 === fromAbove ? 'upper' : 'lower';
  return solve(start, tails, side, p <= 0.5 ? p : 1 - p);
}

/** Newton's method on ln(tail) against ln(x), where both ends are nearly straight, inside a shrinking bracket. */
function solve(start: number, tails: (x: number) => Tails, side: 'lower' | 'upper', target: number): number {
  const sign = side === 'lower' ? 1 : -1;
  let low = -Infinity;
  let high = Infinity;
  let s = Math.log(start);
  for (let k = 0; k < 200; k++) {
    const at = tails(Math.exp(s));
    const tail = at[side];
    const tooFar = sign * (tail - target) > 0;
    if (tooFar) high = s;
    else low = s;
    const step = (-sign * tail * Math.log(tail / target)) / at.density;
    let next = s + Math.max(-30, Math.min(30, step));
    if (!(next > low && next < high)) {
      if (Math.abs(step) <= 4e-16 * Math.max(1, Math.abs(s))) break;
      next = tooFar
        ? low > -Infinity
          ? 0.5 * (low + high)
          : s - 2
        : high < Infinity
          ? 0.5 * (low + high)
          : s + 2;
    }
    if (Math.abs(next - s) <= 4e-16) return Math.exp(next);
    s = next;
  }
  return Math.exp(s);
}

/** Upper-tail normal quantile to 4.5e-4 (Hastings; Abramowitz & Stegun 26.2.23), a start for Newton's method. */
function roughNormal(tail: number): number {
  const t = Math.sqrt(-2 * Math.log(tail));
  const z =
    t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  return Math.max(z, 1e-3);
}

function requireDegrees(df: number): void {
  if (!(df > 0)) throw new RangeError(`degrees of freedom must be > 0, found ${df}`);
}

function requireProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a probability must lie in 0..1, found ${p}`);
}
