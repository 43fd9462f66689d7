import { normalCdf, tQuantile } from '../numerics/distributions.js';
import { logGamma } from '../numerics/special-functions.js';

/** Solutions by degrees of freedom, power and alpha: a comparison asks for the same few again and again. */
const solved = new Map<string, number>();

/**
 * How many standard errors apart two means must truly be to be told apart with a given power in a two-sided
 * test: the non-centrality at which P(|T′| > t) reaches the power.
 * @param df degrees of freedom of the standard error, > 0
 * @param power wanted chance of resolving the difference, 0.5 to 0.99
 * @param alpha chance of resolving a difference that is not there, both signs together
 * @returns a multiple of the standard error; 3.76 at 4 degrees of freedom and 80 %
 * Numerical notes: the chance is integrated over the χ distribution of the standard error with 400 Simpson
 *   steps (1e-7 of the result from one degree of freedom on); the chance of resolving it with the wrong sign is left out (below 1e-4 there).
 */
export function resolvableStandardErrors(df: number, power = 0.8, alpha = 0.05): number {
  const key = `${df} ${power} ${alpha}`;
  const known = solved.get(key);
  if (known !== undefined) return known;
  const critical = tQuantile(1 - alpha / 2, df);
  let low = 0;
  let high = critical + 10 * (1 + critical / Math.sqrt(df));
  for (let step = 0; step < 60; step++) {
    const middle = 0.5 * (low + high);
    if (chanceBeyond(critical, df, middle) < power) low = middle;
    else high = middle;
  }
  const found = 0.5 * (low + high);
  solved.set(key, found);
  return found;
}

/**
 * P(T′ > critical) for non-centrality δ: the mean over S² ~ χ²/df of Φ(δ − critical·S), integrated over u = √S, in
 * which the density stays smooth at zero however few the degrees of freedom.
 */
function chanceBeyond(critical: number, df: number, delta: number): number {
  const steps = 400;
  const spread = Math.sqrt(1 / (2 * df));
  const from = Math.sqrt(Math.max(0, 1 - 9 * spread));
  const to = Math.sqrt(1 + 10 * spread);
  const h = (to - from) / steps;
  const logScale = Math.log(2) + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const u = from + i * h;
    if (u === 0) continue;
    const s = u * u;
    const density = 2 * u * Math.exp(logScale + (df - 1) * Math.log(s) - (df / 2) * s * s);
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * density * normalCdf(delta - critical * s);
  }
  return (sum * h) / 3;
}
