import { dot } from '../numerics/linear.js';
import { symmetricEigen } from '../numerics/symmetric-eigen.js';
import { addProducts, type Gram, mirror } from './gram.js';
import type { FitProblem, Shape } from './problem.js';
import type { RowReader } from './rows.js';

/** Cluster-robust covariance of a fit's parameters [terms | shapes]. */
export interface FitCovariance {
  readonly size: number;
  /** size × size, row major. */
  readonly matrix: Float64Array;
  readonly clusters: number;
  /** Satterthwaite degrees of freedom for a linear combination of the parameters. */
  degreesOfFreedom(contrast: Float64Array): number;
}

/** Standard error of one parameter. */
export const standardError = ({ matrix, size }: FitCovariance, at: number): number =>
  Math.sqrt(Math.max(0, matrix[at * size + at]));

/** Variance of a linear combination of the parameters. */
export function varianceOf({ matrix, size }: FitCovariance, contrast: Float64Array): number {
  let variance = 0;
  for (let a = 0; a < size; a++)
    if (contrast[a] !== 0) variance += contrast[a] * dot(matrix, contrast, size, a * size);
  return variance;
}

/** Cross products [linear columns | shape derivatives | measured force] cluster by cluster, and over all. */
export interface ClusteredGram extends Gram {
  readonly clusters: readonly Float64Array[];
}

/**
 * Sums a problem's cross products at a shape over all samples, cluster by cluster.
 * @param clusterOf cluster of each force sample, not decreasing
 */
export function clusteredGramOf(
  { terms, shapes }: FitProblem,
  reader: RowReader,
  shape: Shape,
  coefficients: Float64Array,
  clusterOf: Int32Array,
): ClusteredGram {
  const size = terms.length + shapes.length + 1;
  const byNumber = new Map<number, Float64Array>();
  let used = 0;
  for (const rows of reader.rows(shape, coefficients, 1, 'sorted')) {
    used += rows.count;
    for (let from = 0; from < rows.count; ) {
      const cluster = clusterOf[rows.sample[from]];
      let to = from + 1;
      while (to < rows.count && clusterOf[rows.sample[to]] === cluster) to++;
      const products = byNumber.get(cluster) ?? new Float64Array(size * size);
      byNumber.set(cluster, products);
      addProducts(products, size, rows, from, to);
      from = to;
    }
  }
  const clusters = [...byNumber.values()];
  for (const products of clusters) mirror(products, size);
  return { size, products: sumOf(clusters, size), used, clusters };
}

/** The same clusters without some of the columns. */
export function withoutColumns(gram: ClusteredGram, dropped: ReadonlySet<number>): ClusteredGram {
  const kept = Array.from({ length: gram.size }, (_, j) => j).filter((j) => !dropped.has(j));
  const size = kept.length;
  const clusters = gram.clusters.map((products) => {
    const fewer = new Float64Array(size * size);
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++) fewer[a * size + b] = products[kept[a] * gram.size + kept[b]];
    return fewer;
  });
  return { size, products: sumOf(clusters, size), used: gram.used, clusters };
}

function sumOf(clusters: readonly Float64Array[], size: number): Float64Array {
  const total = new Float64Array(size * size);
  for (const products of clusters) for (let i = 0; i < total.length; i++) total[i] += products[i];
  return total;
}

/**
 * Bias-reduced cluster-robust covariance (CR2): residuals within a cluster may be correlated in any way.
 * @param gram cross products at a converged fit; clusters are whole cycles (or parts of strokes, where each has its
 *   own speed)
 * @param coefficients one per term, then one step per shape parameter (0 where the fit has converged)
 * @returns the covariance, or null where parameters cannot be told apart
 * @see Bell & McCaffrey, Survey Methodology 28(2), 169–181, 2002; Imbens & Kolesár, Rev. Econ. Statist. 98(4),
 *   701–712, 2016, for the degrees of freedom
 */
export function clusterCovariance(gram: ClusteredGram, coefficients: Float64Array): FitCovariance | null {
  const size = gram.size - 1;
  const white = whitening(gram, size);
  if (!white) return null;
  const clusters = gram.clusters.length;
  const scratch = new Float64Array(2 * size * size);
  const shares = gram.clusters.map((products) => shareOf(products, gram.size, white, scratch));
  const scores = new Float64Array(size * clusters);
  shares.forEach((share, g) => {
    const score = across(white, adjusted(share, multiply(white, scoreOf(gram.clusters[g], coefficients))));
    for (let a = 0; a < size; a++) scores[a * clusters + g] = score[a];
  });
  const matrix = new Float64Array(size * size);
  innerProducts(matrix, scores, clusters, scores, clusters, size, clusters);
  const freedom = new Satterthwaite(shares, white);
  return { size, matrix, clusters, degreesOfFreedom: (contrast) => freedom.of(contrast) };
}

/**
 * Coordinates in which the whole cross product is the identity: one a row, by parameter; null where parameters cannot
 * be told apart.
 */
function whitening({ products, size: stride }: ClusteredGram, size: number): Float64Array | null {
  const scale = new Float64Array(size);
  for (let a = 0; a < size; a++) scale[a] = 1 / Math.sqrt(Math.max(products[a * stride + a], 1e-300));
  const scaled = new Float64Array(size * size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++) scaled[a * size + b] = products[a * stride + b] * scale[a] * scale[b];
  const { values, vectors } = symmetricEigen(scaled, size);
  for (const value of values) if (!(value > 1e-13 * size)) return null;
  const white = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    const perLength = 1 / Math.sqrt(values[a]);
    for (let b = 0; b < size; b++) white[a * size + b] = vectors[a * size + b] * scale[b] * perLength;
  }
  return white;
}

/** A cluster's share of the whole cross product, in white coordinates. */
interface Share {
  readonly values: Float64Array;
  /** Eigenvectors, one a row. */
  readonly vectors: Float64Array;
  /** Of each, what makes up for the fit's having drawn the residuals to itself: (1 − value)^(−1/2). */
  readonly raise: Float64Array;
}

/** @param scratch 2 × size × size numbers to work in */
function shareOf(products: Float64Array, stride: number, white: Float64Array, scratch: Float64Array): Share {
  const size = stride - 1;
  const half = scratch.subarray(0, size * size);
  const share = scratch.subarray(size * size);
  innerProducts(half, white, size, products, stride, size, size);
  innerProducts(share, half, size, white, size, size, size, true);
  const { values, vectors } = symmetricEigen(share, size);
  // A direction known from this cluster alone has share 1 and no residual to speak of; it is capped, not infinite.
  const raise = new Float64Array(size);
  for (let j = 0; j < size; j++) raise[j] = 1 / Math.sqrt(1 - Math.min(0.99, Math.max(0, values[j])));
  return { values, vectors, raise };
}

/** Columns times residual, summed over a cluster. */
function scoreOf(products: Float64Array, coefficients: Float64Array): Float64Array {
  const size = coefficients.length;
  const stride = size + 1;
  const score = new Float64Array(size);
  for (let a = 0; a < size; a++)
    score[a] = products[a * stride + size] - dot(products, coefficients, size, a * stride);
  return score;
}

/** (I − H)^(−1/2) of one cluster applied to its score, in white coordinates. */
function adjusted({ vectors, raise }: Share, score: Float64Array): Float64Array {
  const along = multiply(vectors, score);
  for (let j = 0; j < along.length; j++) along[j] *= raise[j];
  return across(vectors, along);
}

/**
 * Degrees of freedom of contrasts: twice their variance estimate's squared mean over its variance, in closed form.
 * What clusters make of a contrast is linear in it, and it has few entries: made once for each parameter asked for.
 */
class Satterthwaite {
  readonly #shares: readonly Share[];
  readonly #white: Float64Array;
  readonly #made: Float64Array[] = [];
  readonly #seen: Float64Array;
  readonly #outer: Float64Array;

  constructor(shares: readonly Share[], white: Float64Array) {
    this.#shares = shares;
    this.#white = white;
    this.#seen = new Float64Array(2 * Math.sqrt(white.length) * shares.length);
    this.#outer = new Float64Array(white.length);
  }

  of(contrast: Float64Array): number {
    const seen = this.#seen;
    seen.fill(0);
    for (let i = 0; i < contrast.length; i++) {
      if (contrast[i] === 0) continue;
      this.#made[i] ??= seenBy(this.#shares, this.#white, i);
      addMultiple(seen, contrast[i], this.#made[i]);
    }
    return freedomOf(seen, this.#shares, this.#outer);
  }
}

/**
 * A parameter as each cluster sees it.
 * @returns 2 · size rows, a column for each cluster: along the eigenvectors of its share, and the vector u that the
 *   adjusted share makes of it, in white coordinates
 */
function seenBy(shares: readonly Share[], white: Float64Array, parameter: number): Float64Array {
  const size = Math.sqrt(white.length);
  const clusters = shares.length;
  const seen = new Float64Array(2 * size * clusters);
  const column = new Float64Array(size);
  for (let j = 0; j < size; j++) column[j] = white[j * size + parameter];
  const u = new Float64Array(size);
  for (let g = 0; g < clusters; g++) {
    const { values, vectors, raise } = shares[g];
    u.fill(0);
    for (let j = 0; j < size; j++) {
      const along = dot(vectors, column, size, j * size);
      seen[j * clusters + g] = along;
      const once = along * values[j] * raise[j];
      for (let k = 0; k < size; k++) u[k] += once * vectors[j * size + k];
    }
    for (let k = 0; k < size; k++) seen[(size + k) * clusters + g] = u[k];
  }
  return seen;
}

/**
 * Clusters enter through inner products of their vectors u, whose squares sum to a matrix norm: linear in clusters.
 * @param seen a contrast as each cluster sees it, see `seenBy`
 * @param outer size × size numbers to work in
 */
function freedomOf(seen: Float64Array, shares: readonly Share[], outer: Float64Array): number {
  const size = Math.sqrt(outer.length);
  const clusters = shares.length;
  const half = size * clusters;
  let trace = 0;
  let square = 0;
  for (let g = 0; g < clusters; g++) {
    const { values, raise } = shares[g];
    let own = 0;
    let length = 0;
    for (let a = 0, at = g; a < size; a++, at += clusters) {
      const raised = raise[a] * seen[at];
      own += values[a] * (1 - values[a]) * raised * raised;
      length += seen[half + at] * seen[half + at];
    }
    trace += own;
    square += own * own - length * length;
  }
  const u = seen.subarray(half);
  innerProducts(outer, u, clusters, u, clusters, size, clusters, true);
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) square += (a === b ? 1 : 2) * outer[a * size + b] * outer[a * size + b];
  return square > 0 ? Math.max(1, (trace * trace) / square) : 1;
}

function addMultiple(sum: Float64Array, factor: number, values: Float64Array): void {
  for (let j = 0; j < sum.length; j++) sum[j] += factor * values[j];
}

/** M·v. */
function multiply(matrix: Float64Array, vector: Float64Array): Float64Array {
  const size = vector.length;
  const out = new Float64Array(size);
  for (let a = 0; a < size; a++) out[a] = dot(matrix, vector, size, a * size);
  return out;
}

/** Mᵀ·v. */
function across(matrix: Float64Array, vector: Float64Array): Float64Array {
  const size = vector.length;
  const out = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    const value = vector[i];
    for (let a = 0; a < size; a++) out[a] += matrix[i * size + a] * value;
  }
  return out;
}

/**
 * Inner products of n rows of one matrix with n of another, each of `length` entries: A·Bᵀ, n × n, two rows by two at
 * a time; an odd last row is made twice. Of a symmetric product only the lower triangle is wanted.
 */
function innerProducts(
  out: Float64Array,
  a: Float64Array,
  strideA: number,
  b: Float64Array,
  strideB: number,
  n: number,
  length: number,
  symmetric = false,
): void {
  for (let i = 0; i < n; i += 2) {
    const i1 = Math.min(i + 1, n - 1);
    const a0 = i * strideA;
    const a1 = i1 * strideA;
    for (let j = 0; j < (symmetric ? i + 1 : n); j += 2) {
      const j1 = Math.min(j + 1, n - 1);
      const b0 = j * strideB;
      const b1 = j1 * strideB;
      let s00 = 0;
      let s01 = 0;
      let s10 = 0;
      let s11 = 0;
      for (let k = 0; k < length; k++) {
        s00 += a[a0 + k] * b[b0 + k];
        s01 += a[a0 + k] * b[b1 + k];
        s10 += a[a1 + k] * b[b0 + k];
        s11 += a[a1 + k] * b[b1 + k];
      }
      out[i * n + j] = s00;
      out[i * n + j1] = s01;
      out[i1 * n + j] = s10;
      out[i1 * n + j1] = s11;
    }
  }
}
