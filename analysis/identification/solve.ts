import { accumulate, evaluator, type FitProblem, type Gram, type Shape, type ShapeName } from './evaluate.js';

/** A converged (or best found) fit. */
export interface Fit {
  readonly shape: Shape;
  /** One per term, in the terms' order. */
  readonly coefficients: Float64Array;
  /** Residual sum of squares over the samples used, N². */
  readonly rss: number;
  readonly used: number;
  readonly evaluations: number;
}

/** How each shape parameter is searched: where it lies in `Shape`, on which scale, within what, and its longest step. */
const searched: Readonly<
  Record<ShapeName, { key: keyof Shape; scale: 'log' | 'linear'; low: number; high: number; most: number }>
> = {
  presliding: { key: 'presliding_m', scale: 'log', low: 3e-6, high: 2e-3, most: 0.7 },
  excess: { key: 'breakawayExcess', scale: 'linear', low: -0.3, high: 5, most: 0.5 },
  stribeck: { key: 'stribeckSpeed_m_per_s', scale: 'log', low: 2e-4, high: 0.05, most: 0.7 },
  start: { key: 'startState', scale: 'linear', low: -4, high: 4, most: 1 },
  lag: { key: 'lag_s', scale: 'linear', low: -0.01, high: 0.12, most: 0.004 },
  deadStroke: { key: 'deadStroke_m', scale: 'log', low: 1e-5, high: 0.02, most: 0.7 },
  airPower: { key: 'airPower', scale: 'log', low: 1, high: 12, most: 0.5 },
  stop: {
    key: 'stop_m',
    scale: 'linear',
    low: Number.NEGATIVE_INFINITY,
    high: Number.POSITIVE_INFINITY,
    most: 1e-3,
  },
};

/** Moves one parameter of a shape by a step on its own scale, kept within its limits; also says how far, in steps. */
function moveShape(shape: Shape, name: ShapeName, step: number): { shape: Shape; moved: number } {
  const { key, scale, low, high, most } = searched[name];
  const capped = Math.max(-most, Math.min(most, step));
  const from = shape[key];
  const wanted = scale === 'log' ? from * Math.exp(capped) : from + capped;
  const to = Math.max(low, Math.min(high, wanted));
  return {
    shape: { ...shape, [key]: to },
    moved: Math.abs(scale === 'log' ? Math.log(to / from) : to - from) / most,
  };
}

/**
 * Variable projection with Kaufman's Jacobian: at each trial shape the linear terms are solved exactly, and the
 * shape moves by a damped Gauss–Newton step on what they cannot explain.
 * @param problem samples, motion, terms and the shape parameters to search
 * @param start shape to start from; parameters not in `problem.shapes` keep these values
 * @param stride use every stride-th sample
 * @returns the best fit found, or null when the linear terms cannot be told apart
 * @see Golub & Pereyra, SIAM J. Numer. Anal. 10(2), 413–432, 1973; Kaufman, BIT 15, 49–57, 1975
 */
export function solve(
  problem: FitProblem,
  start: Shape,
  stride = 1,
  most = 30,
  tolerance = 1e-7,
): Fit | null {
  const evaluate = evaluator(problem);
  const p = problem.terms.length;
  const q = problem.shapes.length;
  let shape = start;
  let linear = projectLinear(accumulate(problem, evaluate(shape, null), null, stride), p);
  if (!linear) return null;
  let evaluations = 1;
  let damping = 1e-3;
  if (q === 0) return { shape, ...linear, evaluations };
  let current = accumulate(problem, evaluate(shape, linear.coefficients), linear.coefficients, stride);
  evaluations++;
  while (evaluations < most) {
    const step = kaufmanStep(current, p, q, damping);
    if (!step) break;
    let trial = shape;
    let moved = 0;
    problem.shapes.forEach((name, j) => {
      const next = moveShape(trial, name, step[j]);
      trial = next.shape;
      moved = Math.max(moved, next.moved);
    });
    const next = accumulate(problem, evaluate(trial, linear.coefficients), linear.coefficients, stride);
    evaluations++;
    const solved = projectLinear(next, p);
    if (solved && solved.rss <= linear.rss) {
      const gained = linear.rss - solved.rss;
      const before = linear.rss;
      shape = trial;
      linear = solved;
      current = next;
      damping = Math.max(1e-9, damping * 0.2);
      if (gained <= tolerance * before || moved < 1e-5) break;
    } else {
      if (moved < 1e-6) break;
      damping *= 8;
      if (damping > 1e8) break;
    }
  }
  return { shape, ...linear, evaluations };
}

/** Solves the linear block of a gram for its coefficients and the residual sum of squares. */
export function projectLinear(
  gram: Gram,
  p: number,
): { coefficients: Float64Array; rss: number; used: number } | null {
  const { size, products, used } = gram;
  const y = size - 1;
  const rows = Array.from({ length: p }, (_, a) => a);
  const factor = choleskyOf(products, size, rows, 0);
  if (!factor) return null;
  const rhs = new Float64Array(p);
  for (let a = 0; a < p; a++) rhs[a] = products[a * size + y];
  const coefficients = choleskySolve(factor, rhs);
  let explained = 0;
  for (let a = 0; a < p; a++) explained += coefficients[a] * rhs[a];
  return { coefficients, rss: Math.max(0, products[y * size + y] - explained), used };
}

function kaufmanStep(gram: Gram, p: number, q: number, damping: number): Float64Array | null {
  const { size, products } = gram;
  const y = size - 1;
  const factor = choleskyOf(
    products,
    size,
    Array.from({ length: p }, (_, a) => a),
    0,
  );
  if (!factor) return null;
  // Columns of D and y, each less what the linear terms explain of it.
  const solved = Array.from({ length: q + 1 }, (_, j) => {
    const column = new Float64Array(p);
    const at = j === q ? y : p + j;
    for (let a = 0; a < p; a++) column[a] = products[a * size + at];
    return choleskySolve(factor, column);
  });
  const reduced = new Float64Array(q * q);
  const rhs = new Float64Array(q);
  const less = (a: number, b: number, of: Float64Array) => {
    let sum = products[a * size + b];
    for (let c = 0; c < p; c++) sum -= products[a * size + c] * of[c];
    return sum;
  };
  for (let a = 0; a < q; a++) {
    for (let b = 0; b < q; b++) reduced[a * q + b] = less(p + a, p + b, solved[b]);
    rhs[a] = less(p + a, y, solved[q]);
  }
  for (let a = 0; a < q; a++) reduced[a * q + a] *= 1 + damping;
  for (let a = 0; a < q; a++) if (!(reduced[a * q + a] > 0)) reduced[a * q + a] = 1e30;
  const inner = choleskyOf(
    reduced,
    q,
    Array.from({ length: q }, (_, a) => a),
    1e-14,
  );
  return inner && choleskySolve(inner, rhs);
}

interface Factor {
  readonly n: number;
  readonly lower: Float64Array;
  readonly scale: Float64Array;
}

/** Cholesky factor of a principal block, columns scaled to unit length first; null when it is not positive definite. */
function choleskyOf(
  products: Float64Array,
  size: number,
  rows: readonly number[],
  ridge: number,
): Factor | null {
  const n = rows.length;
  const lower = new Float64Array(n * n);
  const scale = new Float64Array(n);
  for (let a = 0; a < n; a++) {
    const square = products[rows[a] * size + rows[a]];
    if (!(square > 0)) return null;
    scale[a] = 1 / Math.sqrt(square);
  }
  for (let a = 0; a < n; a++)
    for (let b = 0; b <= a; b++) {
      let sum = products[rows[a] * size + rows[b]] * scale[a] * scale[b] + (a === b ? ridge : 0);
      for (let c = 0; c < b; c++) sum -= lower[a * n + c] * lower[b * n + c];
      if (a === b) {
        if (!(sum > 1e-13)) return null;
        lower[a * n + a] = Math.sqrt(sum);
      } else lower[a * n + b] = sum / lower[b * n + b];
    }
  return { n, lower, scale };
}

function choleskySolve({ n, lower, scale }: Factor, rhs: Float64Array): Float64Array {
  const out = new Float64Array(n);
  for (let a = 0; a < n; a++) {
    let sum = rhs[a] * scale[a];
    for (let c = 0; c < a; c++) sum -= lower[a * n + c] * out[c];
    out[a] = sum / lower[a * n + a];
  }
  for (let a = n - 1; a >= 0; a--) {
    let sum = out[a];
    for (let c = a + 1; c < n; c++) sum -= lower[c * n + a] * out[c];
    out[a] = sum / lower[a * n + a];
  }
  for (let a = 0; a < n; a++) out[a] *= scale[a];
  return out;
}
