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
  visitRows: RowReader,
  shape: Shape,
  coefficients: Float64Array,
  clusterOf: Int32Array,
): ClusteredGram {
  const size = terms.length + shapes.length + 1;
  const clusters: Float64Array[] = [];
  let current = -1;
  let used = 0;
  visitRows(shape, coefficients, 1, (rows) => {
    used += rows.count;
    for (let from = 0; from < rows.count; ) {
      const cluster = clusterOf[rows.sample[from]];
      let to = from + 1;
      while (to < rows.count && clusterOf[rows.sample[to]] === cluster) to++;
      if (cluster !== current) clusters.push(new Float64Array(size * size));
      current = cluster;
      addProducts(clusters[clusters.length - 1], size, rows, from, to);
      from = to;
    }
  });
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
  const total = block(gram.products, gram.size);
  // Work in coordinates in which the whole cross product is the identity: total = R·Rᵀ, B = R⁻ᵀ·R⁻¹.
  const eigen = symmetricEigen(scaled(total, size), size);
  const least = eigen.values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  if (!(least > 1e-13 * size)) return null;
  const scale = diagonalScale(total, size);
  const toWhite = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++)
      toWhite[i * size + j] = (scale[i] * eigen.vectors[i * size + j]) / Math.sqrt(eigen.values[j]);
  const pieces = gram.clusters.map((products) =>
    bellMcCaffrey(block(products, gram.size), scoreOf(products, coefficients, gram.size), toWhite, size),
  );
  const white = new Float64Array(size * size);
  for (const { score } of pieces)
    for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) white[a * size + b] += score[a] * score[b];
  const matrix = sandwich(toWhite, white, size);
  return {
    size,
    matrix,
    clusters: pieces.length,
    degreesOfFreedom(contrast) {
      return satterthwaite(pieces, across(toWhite, contrast, size), size);
    },
  };
}

/** A cross product without its last row and column, which belong to the force. */
function block(products: Float64Array, size: number): Float64Array {
  const out = new Float64Array((size - 1) ** 2);
  for (let a = 0; a + 1 < size; a++)
    for (let b = 0; b + 1 < size; b++) out[a * (size - 1) + b] = products[a * size + b];
  return out;
}

/** Columns times residual, summed over a cluster. */
function scoreOf(products: Float64Array, coefficients: Float64Array, size: number): Float64Array {
  const score = new Float64Array(size - 1);
  for (let a = 0; a + 1 < size; a++) {
    score[a] = products[a * size + size - 1];
    for (let b = 0; b + 1 < size; b++) score[a] -= products[a * size + b] * coefficients[b];
  }
  return score;
}

interface Piece {
  /** Adjusted score in white coordinates. */
  readonly score: Float64Array;
  /** Eigenvectors of the cluster's share, row major, one a column. */
  readonly vectors: Float64Array;
  /** Eigenvalues of the share times the adjustment, and the adjustment itself. */
  readonly once: Float64Array;
  readonly raise: Float64Array;
}

/** Applies (I − H)^(−1/2) to one cluster, through the eigenvectors of its share of the whole cross product. */
function bellMcCaffrey(
  products: Float64Array,
  score: Float64Array,
  toWhite: Float64Array,
  size: number,
): Piece {
  const share = transform(toWhite, products, size);
  const { values, vectors } = symmetricEigen(share, size);
  // A direction known from this cluster alone has share 1 and no residual to speak of; it is capped, not infinite.
  const raise = values.map((value) => 1 / Math.sqrt(1 - Math.min(0.99, Math.max(0, value))));
  const along = across(vectors, across(toWhite, score, size), size);
  return {
    score: multiply(
      vectors,
      along.map((value, j) => raise[j] * value),
      size,
    ),
    vectors,
    once: values.map((value, j) => value * raise[j]),
    raise,
  };
}

/**
 * Degrees of freedom of one contrast: twice its variance estimate's squared mean over its variance, in closed form.
 * Clusters enter through inner products of their vectors u, whose squares sum to a matrix norm: linear in clusters.
 */
function satterthwaite(pieces: readonly Piece[], c: Float64Array, size: number): number {
  const outer = new Float64Array(size * size);
  let trace = 0;
  let square = 0;
  for (const { vectors, once, raise } of pieces) {
    const along = across(vectors, c, size);
    let own = 0;
    let length = 0;
    for (let j = 0; j < size; j++) {
      own += once[j] * raise[j] * along[j] * along[j];
      along[j] *= once[j];
      length += along[j] * along[j];
    }
    own -= length;
    trace += own;
    square += own * own - length * length;
    const u = multiply(vectors, along, size);
    for (let a = 0; a < size; a++) for (let b = 0; b <= a; b++) outer[a * size + b] += u[a] * u[b];
  }
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++) square += (a === b ? 1 : 2) * outer[a * size + b] ** 2;
  return square > 0 ? Math.max(1, (trace * trace) / square) : 1;
}

/** M·v. */
const multiply = (matrix: Float64Array, vector: Float64Array, size: number): Float64Array => {
  const out = new Float64Array(size);
  for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) out[a] += matrix[a * size + b] * vector[b];
  return out;
};

/** Mᵀ·v. */
function across(matrix: Float64Array, vector: Float64Array, size: number): Float64Array {
  const out = new Float64Array(size);
  for (let i = 0; i < size; i++) for (let a = 0; a < size; a++) out[a] += matrix[i * size + a] * vector[i];
  return out;
}

const diagonalScale = (matrix: Float64Array, size: number): Float64Array =>
  Float64Array.from({ length: size }, (_, i) => 1 / Math.sqrt(Math.max(matrix[i * size + i], 1e-300)));

function scaled(matrix: Float64Array, size: number): Float64Array {
  const scale = diagonalScale(matrix, size);
  return matrix.map((value, at) => value * scale[Math.floor(at / size)] * scale[at % size]);
}

/** Tᵀ·M·T. */
function transform(t: Float64Array, m: Float64Array, size: number): Float64Array {
  const half = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let k = 0; k < size; k++) {
      const value = m[i * size + k];
      if (value !== 0) for (let b = 0; b < size; b++) half[i * size + b] += value * t[k * size + b];
    }
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let a = 0; a < size; a++) {
      const value = t[i * size + a];
      if (value !== 0) for (let b = 0; b < size; b++) out[a * size + b] += value * half[i * size + b];
    }
  return out;
}

/** T·M·Tᵀ. */
function sandwich(t: Float64Array, m: Float64Array, size: number): Float64Array {
  const transposed = new Float64Array(size * size);
  for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) transposed[j * size + i] = t[i * size + j];
  return transform(transposed, m, size);
}
