/** Beside the largest entry of a tridiagonal matrix, an entry off its diagonal that is no larger than this is none. */
const negligible = 2 ** -53;
/** Squares that sum to less are none. */
const leastSquare = 1e-290;
/** Steps in a row that leave every entry, at most: two or three are usual. */
const mostSteps = 60;

/**
 * Eigenvalues and eigenvectors of a small symmetric matrix: Householder reflections make it tridiagonal, implicit QR
 * steps with Wilkinson's shift diagonal.
 * @param matrix n × n, row major, of which the lower triangle is read; left alone
 * @returns values (unordered) and orthonormal vectors, vector j in row j of an n × n row-major array
 * Numerical notes: accurate to a few units in the last place of the largest eigenvalue; cost grows with n³.
 * Source: Golub & Van Loan, *Matrix Computations*, 4th ed. (2013), §8.3.
 */
export function symmetricEigen(
  matrix: Float64Array,
  n: number,
): { readonly values: Float64Array; readonly vectors: Float64Array } {
  const vectors = matrix.slice(0, n * n);
  const values = new Float64Array(n);
  const beside = new Float64Array(n);
  makeTridiagonal(vectors, values, beside, n);
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(values[i]), Math.abs(beside[i]));
  const none = negligible * largest;
  let steps = 0;
  for (let last = n - 1; last > 0; ) {
    let first = last;
    while (first > 0 && Math.abs(beside[first - 1]) > none) first--;
    if (first < last && steps++ < mostSteps) qrStep(vectors, values, beside, n, first, last);
    else {
      last--;
      steps = 0;
    }
  }
  return { values, vectors };
}

/**
 * Takes a symmetric matrix A to VᵀTV, T tridiagonal, from its last row up.
 * @param a n × n, A before and V after
 * @param values, beside room for T's diagonal and, from 0, the n − 1 entries beside it
 */
function makeTridiagonal(a: Float64Array, values: Float64Array, beside: Float64Array, n: number): void {
  const factors = new Float64Array(n);
  const w = new Float64Array(n);
  for (let k = n - 1; k > 0; k--) {
    const v = a.subarray(k * n, k * n + k);
    values[k] = a[k * n + k];
    const next = v[k - 1];
    let rest = 0;
    for (let j = 0; j < k - 1; j++) rest += v[j] * v[j];
    beside[k - 1] = next;
    if (rest < leastSquare) continue;
    // The reflection 1 − factor·v·vᵀ leaves one entry of the row beside the diagonal; v stays in its place.
    const length = Math.sqrt(rest + next * next);
    beside[k - 1] = next > 0 ? -length : length;
    v[k - 1] = next - beside[k - 1];
    const factor = 1 / (length * (length + Math.abs(next)));
    factors[k] = factor;
    reflect(a, v, factor, w, n, k);
  }
  values[0] = a[0];
  for (let k = 0; k < n; k++) {
    for (let row = 0; row < k; row++) {
      const at = row * n;
      let along = 0;
      for (let j = 0; j < k; j++) along += a[at + j] * a[k * n + j];
      along *= factors[k];
      for (let j = 0; j < k; j++) a[at + j] -= along * a[k * n + j];
    }
    a.fill(0, k * n, k * n + n);
    a[k * n + k] = 1;
  }
}

/** H·A·H for the leading k × k block of a symmetric A, its lower triangle, and H = 1 − factor·v·vᵀ. */
function reflect(
  a: Float64Array,
  v: Float64Array,
  factor: number,
  w: Float64Array,
  n: number,
  k: number,
): void {
  let across = 0;
  for (let i = 0; i < k; i++) {
    const at = i * n;
    const vi = v[i];
    let sum = a[at + i] * vi;
    for (let j = 0; j < i; j++) {
      sum += a[at + j] * v[j];
      w[j] += factor * a[at + j] * vi;
    }
    w[i] = factor * sum;
  }
  for (let i = 0; i < k; i++) across += w[i] * v[i];
  for (let i = 0; i < k; i++) w[i] -= 0.5 * factor * across * v[i];
  for (let i = 0; i < k; i++) {
    const at = i * n;
    const vi = v[i];
    const wi = w[i];
    for (let j = 0; j <= i; j++) a[at + j] -= vi * w[j] + wi * v[j];
  }
}

/** One implicit QR step on rows `first` to `last` of a tridiagonal matrix, rotating the vectors' rows along. */
function qrStep(
  vectors: Float64Array,
  values: Float64Array,
  beside: Float64Array,
  n: number,
  first: number,
  last: number,
): void {
  const half = 0.5 * (values[last - 1] - values[last]);
  const corner = beside[last - 1];
  const reach = Math.sqrt(half * half + corner * corner);
  let x = values[first] - (values[last] - (corner * corner) / (half < 0 ? half - reach : half + reach));
  let z = beside[first];
  for (let k = first; k < last; k++) {
    const r = Math.sqrt(x * x + z * z);
    const c = r > 0 ? x / r : 1;
    const s = r > 0 ? z / r : 0;
    if (k > first) beside[k - 1] = r;
    const o = beside[k];
    const t = s * (values[k + 1] - values[k]) + 2 * c * o;
    values[k] += s * t;
    values[k + 1] -= s * t;
    beside[k] = c * t - o;
    if (k + 1 < last) {
      x = beside[k];
      z = s * beside[k + 1];
      beside[k + 1] *= c;
    }
    for (let j = k * n; j < k * n + n; j++) {
      const upper = vectors[j];
      const lower = vectors[j + n];
      vectors[j] = c * upper + s * lower;
      vectors[j + n] = c * lower - s * upper;
    }
  }
}
