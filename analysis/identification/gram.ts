import { choleskyFactor, choleskySolve } from '../numerics/linear.js';
import type { FitProblem, Shape } from './problem.js';
import type { RowReader, Rows } from './rows.js';

/** Cross products of [linear columns | shape derivatives | measured force], row major, symmetric. */
export interface Gram {
  readonly size: number;
  readonly products: Float64Array;
  readonly used: number;
}

/** Linear coefficients that a gram's terms give, with the residual sum of squares they leave. */
export interface Projection {
  readonly coefficients: Float64Array;
  readonly rss: number;
  readonly used: number;
}

/** Sums a problem's cross products at a shape over every stride-th sample. */
export function gramOf(
  { terms, shapes }: FitProblem,
  reader: RowReader,
  shape: Shape,
  coefficients: Float64Array,
  stride: number,
): Gram {
  const size = terms.length + shapes.length + 1;
  const products = new Float64Array(size * size);
  let used = 0;
  for (const rows of reader.rows(shape, coefficients, stride, 'sorted')) {
    addProducts(products, size, rows, 0, rows.count);
    used += rows.count;
  }
  mirror(products, size);
  return { size, products, used };
}

/** Adds the cross products of rows `from` to `to` (exclusive) to the lower triangle, two columns by two at a time. */
export function addProducts(
  products: Float64Array,
  size: number,
  { values, capacity, live }: Rows,
  from: number,
  to: number,
): void {
  for (let i = 0; i < live.length; i += 2) {
    const a0 = live[i];
    const a1 = i + 1 < live.length ? live[i + 1] : size;
    for (let j = 0; j <= i; j += 2) {
      const b0 = live[j];
      const b1 = j === i ? a1 : live[j + 1];
      const atA0 = a0 * capacity;
      const atA1 = a1 * capacity;
      const atB0 = b0 * capacity;
      const atB1 = b1 * capacity;
      let s00 = 0;
      let s01 = 0;
      let s10 = 0;
      let s11 = 0;
      for (let r = from; r < to; r++) {
        const va0 = values[atA0 + r];
        const va1 = values[atA1 + r];
        const vb0 = values[atB0 + r];
        const vb1 = values[atB1 + r];
        s00 += va0 * vb0;
        s01 += va0 * vb1;
        s10 += va1 * vb0;
        s11 += va1 * vb1;
      }
      products[a0 * size + b0] += s00;
      if (j < i) products[a0 * size + b1] += s01;
      if (a1 === size) continue;
      products[a1 * size + b0] += s10;
      products[a1 * size + b1] += s11;
    }
  }
}

/** Copies the lower triangle to the upper. */
export function mirror(products: Float64Array, size: number): void {
  for (let a = 0; a < size; a++) for (let b = 0; b < a; b++) products[b * size + a] = products[a * size + b];
}

/** Solves the linear block of a gram; null when its p terms cannot be told apart. */
export function projectLinear({ size, products, used }: Gram, p: number): Projection | null {
  const y = size - 1;
  const factor = scaledFactor(products, size, p, 0);
  if (!factor) return null;
  const rhs = columnOf(products, size, p, y);
  const coefficients = factor(rhs);
  let explained = 0;
  for (let a = 0; a < p; a++) explained += coefficients[a] * rhs[a];
  return { coefficients, rss: Math.max(0, products[y * size + y] - explained), used };
}

/**
 * Kaufman's damped Gauss–Newton step for q shape parameters after p terms; null when none can be taken.
 * @param held numbers of shape parameters that stay where they are
 */
export function kaufmanStep(
  { size, products }: Gram,
  p: number,
  q: number,
  damping: number,
  held: ReadonlySet<number>,
): Float64Array | null {
  const y = size - 1;
  const factor = scaledFactor(products, size, p, 0);
  if (!factor) return null;
  // What is left of derivatives and force once the linear terms have explained their share.
  const solved = Array.from({ length: q + 1 }, (_, j) =>
    factor(columnOf(products, size, p, j === q ? y : p + j)),
  );
  const left = (a: number, b: number, of: Float64Array) => {
    let sum = products[a * size + b];
    for (let c = 0; c < p; c++) sum -= products[a * size + c] * of[c];
    return sum;
  };
  const reduced = new Float64Array(q * q);
  const rhs = new Float64Array(q);
  for (let a = 0; a < q; a++) {
    if (!held.has(a)) {
      for (let b = 0; b < q; b++) if (!held.has(b)) reduced[a * q + b] = left(p + a, p + b, solved[b]);
      rhs[a] = left(p + a, y, solved[q]);
    }
    const own = reduced[a * q + a] * (1 + damping);
    reduced[a * q + a] = own > 0 ? own : 1e30;
  }
  return scaledFactor(reduced, q, q, 1e-14)?.(rhs) ?? null;
}

/**
 * What the terms come to after a step of the shape parameters, as the cross products have it: exact, were the force
 * linear in those.
 * @returns null when the p terms cannot be told apart
 */
export function foreseen({ size, products, used }: Gram, p: number, step: Float64Array): Projection | null {
  const y = size - 1;
  const shifted = products.slice();
  for (let a = 0; a < size; a++)
    for (let j = 0; j < step.length; j++) shifted[a * size + y] -= products[a * size + p + j] * step[j];
  const moved = projectLinear({ size, products: shifted, used }, p);
  return moved && { ...moved, rss: squaresLeft({ size, products, used }, [...moved.coefficients, ...step]) };
}

/** Residual sum of squares at given coefficients and steps, from the cross products. */
export function squaresLeft({ products, size }: Gram, parameters: ArrayLike<number>): number {
  const y = size - 1;
  let sum = products[y * size + y];
  for (let a = 0; a < y; a++) {
    sum -= 2 * parameters[a] * products[a * size + y];
    for (let b = 0; b < y; b++) sum += parameters[a] * parameters[b] * products[a * size + b];
  }
  return Math.max(0, sum);
}

/** Rows 0 to p of column j. */
function columnOf(products: Float64Array, size: number, p: number, j: number): Float64Array {
  const column = new Float64Array(p);
  for (let a = 0; a < p; a++) column[a] = products[a * size + j];
  return column;
}

/** A pivot below this, of columns of unit length, means that a column depends on those before it. */
const leastPivot = Math.sqrt(1e-13);

/** Solver for the leading p × p block, its columns scaled to unit length first; null when not positive definite. */
function scaledFactor(
  products: Float64Array,
  size: number,
  p: number,
  ridge: number,
): ((rhs: Float64Array) => Float64Array) | null {
  const scale = new Float64Array(p);
  for (let a = 0; a < p; a++) scale[a] = 1 / Math.sqrt(products[a * size + a]);
  const block = new Float64Array(p * p);
  for (let a = 0; a < p; a++) {
    for (let b = 0; b <= a; b++) block[a * p + b] = products[a * size + b] * scale[a] * scale[b];
    block[a * p + a] += ridge;
  }
  const factor = choleskyFactor(block, p);
  if (!factor) return null;
  for (let a = 0; a < p; a++) if (!(factor[a * p + a] > leastPivot)) return null;
  return (rhs) => timesEach(choleskySolve(factor, p, timesEach(rhs, scale)), scale);
}

/** Products entry by entry. */
function timesEach(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) out[i] = a[i] * b[i];
  return out;
}
