/** Small dense linear algebra: Cholesky for symmetric positive definite matrices, and linear least squares. */
import { exactDot, exactResidual } from './exact-sums.js';
import {
  applyQ,
  applyQTransposed,
  type Factorization,
  factorInPlace,
  inverseGram,
  solveR,
  solveRTransposed,
} from './householder.js';

/**
 * Inner product of two vectors, or of n entries of one from `i` on and as many of the other from `j` on, summed in two
 * halves.
 */
export function dot(a: Float64Array, b: Float64Array, n = a.length, i = 0, j = 0): number {
  let even = n % 2 === 0 ? 0 : a[i + n - 1] * b[j + n - 1];
  let odd = 0;
  for (let k = 0; k + 1 < n; k += 2) {
    even += a[i + k] * b[j + k];
    odd += a[i + k + 1] * b[j + k + 1];
  }
  return even + odd;
}

/**
 * Cholesky factor of a symmetric positive definite matrix.
 * @param matrix n × n, row major; only the lower triangle is read
 * @returns lower triangular L with L·Lᵀ = matrix, n × n row major, or null when the matrix is not positive definite
 */
export function choleskyFactor(matrix: Float64Array, n: number): Float64Array | null {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      if (j < i) factor[i * n + j] = sum / factor[j * n + j];
      else if (sum > 0) factor[i * n + i] = Math.sqrt(sum);
      else return null;
    }
  }
  return factor;
}

/** Solves L·Lᵀ·x = b for the factor that `choleskyFactor` returned; `b` (n values) is left alone. */
export function choleskySolve(factor: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= factor[i * n + k] * x[k];
    x[i] /= factor[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= factor[k * n + i] * x[k];
    x[i] /= factor[i * n + i];
  }
  return x;
}

/** Inverse of the matrix whose factor `choleskyFactor` returned; n × n, row major, exactly symmetric. */
export function choleskyInverse(factor: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = choleskySolve(factor, n, unit);
    for (let i = j; i < n; i++) {
      inverse[i * n + j] = column[i];
      inverse[j * n + i] = column[i];
    }
  }
  return inverse;
}

export interface LeastSquaresOptions {
  /** A column is dependent when what is left of it, after scaling, is below this; default max(n, p)·2⁻⁵². */
  readonly rankTolerance?: number;
  /**
   * Refine with residuals in twice the working precision (about four times the work); for designs such as
   * high polynomials, where the last digits of the coefficients are wanted and the noise is large.
   */
  readonly refine?: boolean;
}

export interface LeastSquaresFit {
  /** p values; 0 for the columns in `dependent`, so that predictions hold in every case. */
  readonly coefficients: Float64Array;
  /** p × p, row major: residualSd² · (XᵀWX)⁻¹; NaN for dependent columns, all NaN without degrees of freedom. */
  readonly covariance: Float64Array;
  /** (XᵀWX)⁻¹, p × p, row major: the covariance where weights are true inverse variances. */
  readonly inverseNormal: Float64Array;
  /** n values, measured minus fitted, unweighted. */
  readonly residuals: Float64Array;
  /** Weighted sum of squared residuals. */
  readonly rss: number;
  /** √(rss / degreesOfFreedom); NaN without degrees of freedom. */
  readonly residualSd: number;
  readonly degreesOfFreedom: number;
  /** 1 - rss / Σ w (y - ȳ)²; meaningful when a constant is among the columns. */
  readonly rSquared: number;
  /** 1 - rss / Σ w y²; for fits through zero. */
  readonly rSquaredUncentred: number;
  readonly rank: number;
  /** Indices of columns found to depend on the others and left out. */
  readonly dependent: readonly number[];
}

/**
 * Linear least squares, y ≈ Σ coefficients[j]·columns[j], by pivoted Householder QR on columns scaled to
 * comparable size by powers of two (exactly).
 * @param columns p design columns of n values each; not changed
 * @param y n values
 * @param weights n weights of the squared residuals (1/σ²), each >= 0; default 1. A row of weight
 *   zero takes no part and is not counted in the degrees of freedom.
 * @param options rank tolerance and refinement
 * @returns coefficients with covariance and the usual statistics; never throws on rank deficiency, see `rank`
 * Source: Björck, *Numerical Methods for Least Squares Problems* (1996), §2.4 and §2.9 (refinement of the
 *   augmented system); held against NIST StRD linear sets in tests/published.
 */
export function leastSquares(
  columns: readonly Float64Array[],
  y: Float64Array,
  weights?: Float64Array,
  options: LeastSquaresOptions = {},
): LeastSquaresFit {
  const n = y.length;
  const p = columns.length;
  for (const column of columns)
    if (column.length !== n)
      throw new RangeError(`a design column has ${column.length} values for ${n} rows`);
  const rootWeights = weights?.map(Math.sqrt);
  const target = weighted(y, rootWeights, 1);
  const scales = columns.map((column) => powerOfTwoScale(column, rootWeights));
  const design = columns.map((column, j) => weighted(column, rootWeights, scales[j]));
  const kept = options.refine ? design.map((column) => column.slice()) : [];
  const qr = factorInPlace(design, options.rankTolerance ?? Math.max(n, p) * Number.EPSILON);

  const { x, residual } = solve(qr, target);
  if (options.refine) refine(qr, kept, target, x, residual);

  const coefficients = new Float64Array(p);
  for (let k = 0; k < qr.rank; k++) coefficients[qr.order[k]] = x[k] * scales[qr.order[k]];
  const inverseNormal = inverseGram(qr);
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) inverseNormal[i * p + j] *= scales[i] * scales[j];

  const rows = rootWeights ? rootWeights.reduce((count, w) => count + (w > 0 ? 1 : 0), 0) : n;
  const degreesOfFreedom = rows - qr.rank;
  const rss = exactDot(residual, residual);
  const variance = degreesOfFreedom > 0 ? rss / degreesOfFreedom : Number.NaN;
  return {
    coefficients,
    covariance: inverseNormal.map((value) => value * variance),
    inverseNormal,
    residuals: rootWeights ? unweighted(residual, rootWeights, columns, coefficients, y) : residual,
    rss,
    residualSd: Math.sqrt(variance),
    degreesOfFreedom,
    rSquared: 1 - rss / centredSquares(y, weights),
    rSquaredUncentred: 1 - rss / exactDot(target, target),
    rank: qr.rank,
    dependent: qr.order.slice(qr.rank),
  };
}

function solve(qr: Factorization, target: Float64Array): { x: Float64Array; residual: Float64Array } {
  const residual = target.slice();
  applyQTransposed(qr, residual);
  const x = solveR(qr, residual);
  residual.fill(0, 0, qr.rank);
  applyQ(qr, residual);
  return { x, residual };
}

/** Corrects solution and residual together until the correction no longer shrinks. */
function refine(
  qr: Factorization,
  design: readonly Float64Array[],
  target: Float64Array,
  x: Float64Array,
  residual: Float64Array,
): void {
  const factored = qr.order.slice(0, qr.rank).map((j) => design[j]);
  let previous = Infinity;
  for (let pass = 0; pass < 10; pass++) {
    const mismatch = exactResidual(factored, x, target, residual);
    const lean = Float64Array.from(factored, (column) => -exactDot(column, residual));
    applyQTransposed(qr, mismatch);
    const h = solveRTransposed(qr, lean);
    const step = mismatch.slice(0, qr.rank);
    for (let k = 0; k < qr.rank; k++) {
      step[k] -= h[k];
      mismatch[k] = h[k];
    }
    const dx = solveR(qr, step);
    const size = dx.reduce((largest, d, k) => Math.max(largest, Math.abs(d) / (Math.abs(x[k]) || 1)), 0);
    if (!(size < previous)) return;
    applyQ(qr, mismatch);
    for (let k = 0; k < qr.rank; k++) x[k] += dx[k];
    for (let i = 0; i < residual.length; i++) residual[i] += mismatch[i];
    previous = size;
  }
}

function weighted(values: Float64Array, rootWeights: Float64Array | undefined, scale: number): Float64Array {
  return rootWeights ? values.map((v, i) => v * rootWeights[i] * scale) : values.map((v) => v * scale);
}

/** Measured minus fitted; divided back from the weighted residual, recomputed where the weight is zero. */
function unweighted(
  residual: Float64Array,
  rootWeights: Float64Array,
  columns: readonly Float64Array[],
  coefficients: Float64Array,
  y: Float64Array,
): Float64Array {
  return residual.map((r, i) => {
    if (rootWeights[i] > 0) return r / rootWeights[i];
    return columns.reduce((rest, column, j) => rest - column[i] * coefficients[j], y[i]);
  });
}

/** 2^k that brings the column's largest weighted value to 0.5..1; 1 for a zero column. */
function powerOfTwoScale(column: Float64Array, rootWeights: Float64Array | undefined): number {
  let largest = 0;
  for (let i = 0; i < column.length; i++) {
    const size = Math.abs(column[i]) * (rootWeights ? rootWeights[i] : 1);
    if (size > largest) largest = size;
  }
  return largest > 0 && largest < Infinity ? 2 ** -Math.ceil(Math.log2(largest)) : 1;
}

function centredSquares(y: Float64Array, weights: Float64Array | undefined): number {
  let total = 0;
  let mean = 0;
  for (let i = 0; i < y.length; i++) {
    const w = weights ? weights[i] : 1;
    if (w === 0) continue;
    total += w;
    mean += (w * (y[i] - mean)) / total;
  }
  let sum = 0;
  for (let i = 0; i < y.length; i++) sum += (weights ? weights[i] : 1) * (y[i] - mean) ** 2;
  return sum;
}
