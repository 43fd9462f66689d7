/**
 * Sums and dot products carried in twice the working precision, for residuals that nearly cancel.
 * Source: Ogita, Rump & Oishi, "Accurate sum and dot product", SIAM J. Sci. Comput. 26 (2005) 1955: error-free
 * transformations of Knuth (sum) and of Dekker and Veltkamp (product).
 */

const splitter = 2 ** 27 + 1;

/** Sum of the values as if computed with twice the digits and rounded once. */
export function exactSum(values: Float64Array): number {
  let sum = 0;
  let rest = 0;
  for (const value of values) {
    const next = sum + value;
    rest += sumError(sum, value, next);
    sum = next;
  }
  return sum + rest;
}

/** Dot product of two arrays of equal length as if computed with twice the digits and rounded once. */
export function exactDot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  let rest = 0;
  for (let i = 0; i < a.length; i++) {
    const product = a[i] * b[i];
    const next = sum + product;
    rest += productError(a[i], b[i], product) + sumError(sum, product, next);
    sum = next;
  }
  return sum + rest;
}

/**
 * y - r - Σ columns[j]·x[j], row by row, in twice the working precision.
 * @param columns p arrays of n values
 * @param x p factors
 * @param y n values
 * @param r n values
 * @returns n values, each rounded once
 */
export function exactResidual(
  columns: readonly Float64Array[],
  x: Float64Array,
  y: Float64Array,
  r: Float64Array,
): Float64Array {
  const out = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) {
    let sum = y[i] - r[i];
    let rest = sumError(y[i], -r[i], sum);
    for (let j = 0; j < x.length; j++) {
      const product = -columns[j][i] * x[j];
      const next = sum + product;
      rest += productError(-columns[j][i], x[j], product) + sumError(sum, product, next);
      sum = next;
    }
    out[i] = sum + rest;
  }
  return out;
}

/** What rounding took from a + b = sum. */
function sumError(a: number, b: number, sum: number): number {
  const b2 = sum - a;
  return a - (sum - b2) + (b - b2);
}

/** What rounding took from a·b = product. */
function productError(a: number, b: number, product: number): number {
  const ta = splitter * a;
  const a1 = ta - (ta - a);
  const a2 = a - a1;
  const tb = splitter * b;
  const b1 = tb - (tb - b);
  const b2 = b - b1;
  return a2 * b2 - (product - a1 * b1 - a2 * b1 - a1 * b2);
}
