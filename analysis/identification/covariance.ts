import { symmetricEigen } from '../numerics/symmetric-eigen.js';
import type { Evaluation, FitProblem } from './evaluate.js';

/** Cluster-robust covariance of a fit's parameters [terms | shapes]. */
export interface FitCovariance {
  readonly size: number;
  /** size × size, row major. */
  readonly matrix: Float64Array;
  readonly clusters: number;
  /** Satterthwaite degrees of freedom for a linear combination of the parameters. */
  degreesOfFreedom(contrast: Float64Array): number;
}

interface Cluster {
  readonly products: Float64Array;
  readonly score: Float64Array;
}

/**
 * Bias-reduced cluster-robust covariance (CR2): residuals within a cluster may be correlated in any way.
 * @param problem, evaluation, coefficients a converged fit, its columns and its linear coefficients
 * @param clusterOf cluster of each force sample, −1 for none; whole cycles (or strokes, where each has its own speed)
 * @returns the covariance, or null where parameters cannot be told apart
 * @see Bell & McCaffrey, Survey Methodology 28(2), 169–181, 2002; Imbens & Kolesár, Rev. Econ. Statist. 98(4),
 *   701–712, 2016, for the degrees of freedom
 */
export function clusterCovariance(
  problem: FitProblem,
  evaluation: Evaluation,
  coefficients: Float64Array,
  clusterOf: Int32Array,
): FitCovariance | null {
  const size = problem.terms.length + problem.shapes.length;
  const clusters = sumClusters(problem, evaluation, coefficients, clusterOf, size);
  const total = new Float64Array(size * size);
  for (const { products } of clusters) for (let i = 0; i < total.length; i++) total[i] += products[i];
  // Work in coordinates in which the whole cross product is the identity: total = R·Rᵀ, B = R⁻ᵀ·R⁻¹.
  const eigen = symmetricEigen(scaled(total, size), size);
  const least = eigen.values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  if (!(least > 1e-13 * size)) return null;
  const scale = diagonalScale(total, size);
  const toWhite = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++)
      toWhite[i * size + j] = (scale[i] * eigen.vectors[i * size + j]) / Math.sqrt(eigen.values[j]);
  const pieces = clusters.map((cluster) => bellMcCaffrey(cluster, toWhite, size));
  const white = new Float64Array(size * size);
  for (const { score } of pieces)
    for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) white[a * size + b] += score[a] * score[b];
  const matrix = sandwich(toWhite, white, size);
  return {
    size,
    matrix,
    clusters: clusters.length,
    degreesOfFreedom(contrast) {
      const c = new Float64Array(size);
      for (let a = 0; a < size; a++)
        for (let i = 0; i < size; i++) c[a] += toWhite[i * size + a] * contrast[i];
      return satterthwaite(pieces, c, size);
    },
  };
}

function sumClusters(
  problem: FitProblem,
  evaluation: Evaluation,
  coefficients: Float64Array,
  clusterOf: Int32Array,
  size: number,
): Cluster[] {
  const { time_s, force_N, counts, grid } = problem;
  const { linear, byShape, shift } = evaluation;
  const p = linear.length;
  const found = new Map<number, Cluster>();
  const row = new Float64Array(size);
  const perStep = 1 / grid.step_s;
  const lastPoint = grid.position_m.length - 2;
  for (let i = 0; i < time_s.length; i++) {
    const id = clusterOf[i];
    const place = time_s[i] * perStep + shift;
    const k = Math.floor(place);
    if (!counts[i] || id < 0 || k < 0 || k > lastPoint) continue;
    const share = place - k;
    let residual = force_N[i];
    let slope = 0;
    for (let j = 0; j < p; j++) {
      const rise = linear[j][k + 1] - linear[j][k];
      row[j] = linear[j][k] + share * rise;
      residual -= coefficients[j] * row[j];
      slope += coefficients[j] * rise;
    }
    for (let j = p; j < size; j++) {
      const column = byShape[j - p];
      row[j] = column ? column[k] + share * (column[k + 1] - column[k]) : -slope * perStep;
    }
    let cluster = found.get(id);
    if (!cluster) {
      cluster = { products: new Float64Array(size * size), score: new Float64Array(size) };
      found.set(id, cluster);
    }
    for (let a = 0; a < size; a++) {
      cluster.score[a] += row[a] * residual;
      for (let b = 0; b <= a; b++) cluster.products[a * size + b] += row[a] * row[b];
    }
  }
  for (const { products } of found.values())
    for (let a = 0; a < size; a++)
      for (let b = 0; b < a; b++) products[b * size + a] = products[a * size + b];
  return [...found.values()];
}

interface Piece {
  /** Adjusted score in white coordinates. */
  readonly score: Float64Array;
  /** Cross product in white coordinates times the adjustment, and with the adjustment twice. */
  readonly once: Float64Array;
  readonly twice: Float64Array;
}

/** Applies (I − H)^(−1/2) to one cluster, through the eigenvectors of its share of the whole cross product. */
function bellMcCaffrey({ products, score }: Cluster, toWhite: Float64Array, size: number): Piece {
  const share = transform(toWhite, products, size);
  const { values, vectors } = symmetricEigen(share, size);
  const white = new Float64Array(size);
  for (let a = 0; a < size; a++) for (let i = 0; i < size; i++) white[a] += toWhite[i * size + a] * score[i];
  const adjusted = new Float64Array(size);
  const once = new Float64Array(size * size);
  const twice = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    // A direction known from this cluster alone has share 1 and no residual to speak of; it is capped, not infinite.
    const held = Math.min(0.99, Math.max(0, values[j]));
    const raise = 1 / Math.sqrt(1 - held);
    let along = 0;
    for (let i = 0; i < size; i++) along += vectors[i * size + j] * white[i];
    for (let a = 0; a < size; a++) {
      const va = vectors[a * size + j];
      adjusted[a] += va * raise * along;
      for (let b = 0; b < size; b++) {
        const product = va * vectors[b * size + j] * values[j];
        once[a * size + b] += product * raise;
        twice[a * size + b] += product * raise * raise;
      }
    }
  }
  return { score: adjusted, once, twice };
}

function satterthwaite(pieces: readonly Piece[], c: Float64Array, size: number): number {
  const n = pieces.length;
  const u = pieces.map(({ once }) => multiply(once, c, size));
  let trace = 0;
  let square = 0;
  for (let g = 0; g < n; g++) {
    const own = dot(c, multiply(pieces[g].twice, c, size));
    for (let h = 0; h <= g; h++) {
      const value = (g === h ? own : 0) - dot(u[g], u[h]);
      if (g === h) {
        trace += value;
        square += value * value;
      } else square += 2 * value * value;
    }
  }
  return square > 0 ? Math.max(1, (trace * trace) / square) : 1;
}

const multiply = (matrix: Float64Array, vector: Float64Array, size: number): Float64Array => {
  const out = new Float64Array(size);
  for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) out[a] += matrix[a * size + b] * vector[b];
  return out;
};

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
};

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
