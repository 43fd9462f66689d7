/**
 * Householder QR of a tall matrix held as columns, with column pivoting and a decision about its rank.
 * Source: Golub & Van Loan, *Matrix Computations*, §5.2 and §5.4 (column norms are recomputed, not updated:
 * p is small and the update loses digits).
 */

export interface Factorization {
  readonly rows: number;
  /** Columns in factored order: R on and above the diagonal, the reflectors' tails below it. */
  readonly columns: readonly Float64Array[];
  /** Leading element of each reflector; the reflector is [lead, tail…] with `beta` = 2 / |reflector|². */
  readonly lead: Float64Array;
  readonly beta: Float64Array;
  /** order[k] is the original index of factored column k. */
  readonly order: readonly number[];
  /** Number of leading factored columns that are independent. */
  readonly rank: number;
}

/**
 * Factors a matrix in place.
 * @param columns p arrays of n values each, n >= 1; overwritten
 * @param rankTolerance a column counts as dependent when what is left of it is smaller than this times the
 *   largest column; 0 keeps every column that is not exactly zero
 * @returns the factorization, sharing the arrays given
 */
export function factorInPlace(columns: Float64Array[], rankTolerance: number): Factorization {
  const p = columns.length;
  const rows = p > 0 ? columns[0].length : 0;
  const order = columns.map((_, j) => j);
  const lead = new Float64Array(p);
  const beta = new Float64Array(p);
  const work = columns.slice();
  const steps = Math.min(rows, p);
  let largest = 0;
  let rank = 0;
  for (; rank < steps; rank++) {
    const k = rank;
    let best = k;
    let bestNorm = -1;
    for (let j = k; j < p; j++) {
      const size = norm(work[j], k);
      if (size > bestNorm) {
        best = j;
        bestNorm = size;
      }
    }
    if (k === 0) largest = bestNorm;
    if (!(bestNorm > rankTolerance * largest) || bestNorm === 0) break;
    [work[k], work[best]] = [work[best], work[k]];
    [order[k], order[best]] = [order[best], order[k]];
    const pivot = work[k];
    const diagonal = pivot[k] > 0 ? -bestNorm : bestNorm;
    lead[k] = pivot[k] - diagonal;
    beta[k] = -1 / (diagonal * lead[k]);
    pivot[k] = diagonal;
    for (let j = k + 1; j < p; j++) reflect(pivot, lead[k], beta[k], k, work[j]);
  }
  return { rows, columns: work, lead, beta, order, rank };
}

/** Overwrites `vector` (n values) with Qᵀ·vector. */
export function applyQTransposed(qr: Factorization, vector: Float64Array): void {
  for (let k = 0; k < qr.rank; k++) reflect(qr.columns[k], qr.lead[k], qr.beta[k], k, vector);
}

/** Overwrites `vector` (n values) with Q·vector. */
export function applyQ(qr: Factorization, vector: Float64Array): void {
  for (let k = qr.rank - 1; k >= 0; k--) reflect(qr.columns[k], qr.lead[k], qr.beta[k], k, vector);
}

/** Solves R·x = b over the first `rank` entries, in factored order; `b` is left alone. */
export function solveR(qr: Factorization, b: Float64Array): Float64Array {
  const x = b.slice(0, qr.rank);
  for (let k = qr.rank - 1; k >= 0; k--) {
    x[k] /= qr.columns[k][k];
    for (let i = 0; i < k; i++) x[i] -= x[k] * qr.columns[k][i];
  }
  return x;
}

/** Solves Rᵀ·x = b over the first `rank` entries, in factored order; `b` is left alone. */
export function solveRTransposed(qr: Factorization, b: Float64Array): Float64Array {
  const x = b.slice(0, qr.rank);
  for (let k = 0; k < qr.rank; k++) {
    for (let i = 0; i < k; i++) x[k] -= x[i] * qr.columns[k][i];
    x[k] /= qr.columns[k][k];
  }
  return x;
}

/**
 * (RᵀR)⁻¹ in the original order of the columns.
 * @returns p × p, row major; rows and columns of dependent columns are NaN
 */
export function inverseGram(qr: Factorization): Float64Array {
  const p = qr.columns.length;
  const inverse = new Float64Array(p * p).fill(Number.NaN);
  const unit = new Float64Array(qr.rank);
  for (let k = 0; k < qr.rank; k++) {
    unit.fill(0);
    unit[k] = 1;
    const column = solveR(qr, solveRTransposed(qr, unit));
    for (let i = 0; i < qr.rank; i++) inverse[qr.order[i] * p + qr.order[k]] = column[i];
  }
  for (let i = 0; i < p; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (inverse[i * p + j] + inverse[j * p + i]);
      inverse[i * p + j] = mean;
      inverse[j * p + i] = mean;
    }
  return inverse;
}

function norm(column: Float64Array, from: number): number {
  let sum = 0;
  for (let i = from; i < column.length; i++) sum += column[i] * column[i];
  return Math.sqrt(sum);
}

/** target -= beta · reflector · (reflectorᵀ · target), for the reflector stored below `from` in `tail`. */
function reflect(tail: Float64Array, lead: number, beta: number, from: number, target: Float64Array): void {
  let dot = lead * target[from];
  for (let i = from + 1; i < target.length; i++) dot += tail[i] * target[i];
  dot *= beta;
  target[from] -= dot * lead;
  for (let i = from + 1; i < target.length; i++) target[i] -= dot * tail[i];
}
