/**
 * The incomplete beta and gamma functions that every distribution here is made of.
 *
 * Both tails are returned together, each to full relative accuracy, with the density factor that a quantile
 * search needs as its slope. The leading factor is written through Stirling's remainder and `x - ln(1 + x)`
 * (Loader, "Fast and accurate computation of binomial probabilities", 2000), because the textbook difference
 * of log-gammas loses as many digits as the parameters have.
 */

const halfLog2Pi = 0.5 * Math.log(2 * Math.PI);
const tiny = 1e-300;
const maxTerms = 100_000;

/** Both tails of a distribution at one point, and the derivative of the lower one on a logarithmic axis. */
export interface Tails {
  readonly lower: number;
  readonly upper: number;
  /** Incomplete gamma: d(lower)/d(ln x); incomplete beta: d(lower)/d(ln(x/(1-x))). */
  readonly density: number;
}

/**
 * Remainder of Stirling's formula, ln Γ(z+1) - (z + ½) ln z + z - ½ ln 2π.
 * @param z positive
 * @returns the remainder, about 1/(12 z); absolute error below 1e-15
 * Source: asymptotic series, NIST DLMF 5.11.1; below 12 by the recurrence Γ(z+2) = (z+1) Γ(z+1).
 */
export function stirlingRemainder(z: number): number {
  let shift = 0;
  for (; z < 12; z++) shift += (z + 0.5) * Math.log1p(1 / z) - 1;
  const w = 1 / (z * z);
  const series =
    1 / 12 - w * (1 / 360 - w * (1 / 1260 - w * (1 / 1680 - w * (1 / 1188 - (w * 691) / 360360))));
  return shift + series / z;
}

/**
 * Logarithm of the gamma function.
 * @param z positive
 * @returns ln Γ(z); error below 1e-14 of the larger of 1 and the result (absolute near its zeros at 1 and 2)
 */
export function logGamma(z: number): number {
  return (z - 0.5) * Math.log(z) - z + halfLog2Pi + stirlingRemainder(z);
}

/** u - ln(1+u) for u = ratio - 1, both given because near u = 0 only u is known finely and near -1 only the ratio. */
function logDeviance(u: number, ratio: number): number {
  if (Math.abs(u) > 0.3) return u - Math.log(ratio);
  // ln(1+u) = 2 artanh(r), r = u/(2+u); the linear parts cancel exactly and r·u remains.
  const r = u / (2 + u);
  const r2 = r * r;
  let term = r2 * r;
  let sum = 0;
  for (let k = 3; Math.abs(term) > 1e-18 * r2; k += 2) {
    sum += term / k;
    term *= r2;
  }
  return r * u - 2 * sum;
}

/**
 * Regularised incomplete gamma functions P(a, x) and Q(a, x).
 * @param a shape, > 0
 * @param x limit, >= 0
 * @returns lower P, upper Q and density x^a e^-x / Γ(a), each to about 1e-14 relative (a below 1e6)
 * Source: series and continued fraction, NIST DLMF 8.11.4 and 8.9.2.
 */
export function regularizedGamma(a: number, x: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1, density: 0 };
  if (x === Infinity) return { lower: 1, upper: 0, density: 0 };
  const density =
    Math.sqrt(a / (2 * Math.PI)) * Math.exp(-a * logDeviance((x - a) / a, x / a) - stirlingRemainder(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < maxTerms && term > 1e-17 * sum; n++) {
      term *= x / (a + n);
      sum += term;
    }
    const lower = density * sum;
    return { lower, upper: 1 - lower, density };
  }
  // Modified Lentz evaluation (Thompson & Barnett 1986).
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < maxTerms; n++) {
    const numerator = n * (a - n);
    b += 2;
    d = 1 / nonZero(b + numerator * d);
    c = nonZero(b + numerator / c);
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 2e-16) break;
  }
  const upper = density * fraction;
  return { lower: 1 - upper, upper, density };
}

/**
 * Regularised incomplete beta function I_x(a, b) and its complement.
 * @param x in 0..1
 * @param y 1 - x, given separately so that neither end loses digits
 * @param a shape, > 0
 * @param b shape, > 0
 * @returns lower I_x(a, b), upper I_y(b, a) and density x^a y^b / B(a, b), each to about 1e-14 relative
 *   (shapes below 1e6)
 * Source: continued fraction of DiDonato & Morris, ACM Trans. Math. Softw. 18 (1992) 360, the even part of NIST
 *   DLMF 8.17.22 (the form is from memory, its values are checked), on the side where it converges fast.
 */
export function regularizedBeta(x: number, y: number, a: number, b: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1, density: 0 };
  if (y <= 0) return { lower: 1, upper: 0, density: 0 };
  const n = a + b;
  const excess = x < y ? n * x - a : b - n * y; // n·x - a from whichever of x and y is known finely
  const density =
    Math.sqrt((a / n) * (b / (2 * Math.PI))) *
    Math.exp(
      stirlingRemainder(n) -
        stirlingRemainder(a) -
        stirlingRemainder(b) -
        a * logDeviance(excess / a, (n * x) / a) -
        b * logDeviance(-excess / b, (n * y) / b),
    );
  if (x * (n + 2) < a + 1) {
    const lower = density * betaFraction(x, y, a, b, -excess);
    return { lower, upper: 1 - lower, density };
  }
  const upper = density * betaFraction(y, x, b, a, excess);
  return { lower: 1 - upper, upper, density };
}

/** `lack` is a - (a + b)·x, the term that would cancel when x is near its mean. */
function betaFraction(x: number, y: number, a: number, b: number, lack: number): number {
  let fraction = nonZero((a * (lack + 1)) / (a + 1));
  let c = fraction;
  let d = 0;
  for (let m = 1; m < maxTerms; m++) {
    const wide = a + 2 * m;
    const numerator = ((m * (a + m - 1) * x) / (wide - 1)) * (((a + b + m - 1) * (b - m) * x) / (wide - 1));
    const denominator =
      m + (m * (b - m) * x) / (wide - 1) + ((a + m) * (lack + 1 + m * (1 + y))) / (wide + 1);
    d = 1 / nonZero(denominator + numerator * d);
    c = nonZero(denominator + numerator / c);
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 2e-16) break;
  }
  return 1 / fraction;
}

function nonZero(value: number): number {
  return Math.abs(value) < tiny ? tiny : value;
}
