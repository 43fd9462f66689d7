import { dot } from '../numerics/linear.js';
import { isOfSeal } from './column-maker.js';
import { isDamping, type TermName } from './columns.js';
import { type Gram, mirror } from './gram.js';
import type { FitProblem, Shape } from './problem.js';
import { RowReader } from './rows.js';

/**
 * Cross products of a problem's terms at one shape after another: columns that a shape leaves as the one before had
 * them are neither made nor multiplied again.
 */
export class Glancer {
  readonly #problem: FitProblem;
  readonly #stride: number;
  readonly #columns: readonly Float64Array[];
  readonly #products: Float64Array;
  #used = 0;
  #last: Shape | null = null;

  /** @param stride takes every stride-th sample */
  constructor(problem: FitProblem, stride: number) {
    const size = problem.terms.length + 1;
    this.#problem = { ...problem, shapes: [] };
    this.#stride = stride;
    const most = Math.ceil(problem.time_s.length / stride);
    this.#columns = Array.from({ length: size }, () => new Float64Array(most));
    this.#products = new Float64Array(size * size);
  }

  gramAt(shape: Shape): Gram {
    const { terms } = this.#problem;
    const last = this.#last;
    const changed = terms.flatMap((term, j) => (!last || changes(term, last, shape) ? [j] : []));
    if (!last || last.lag_s !== shape.lag_s) changed.push(terms.length);
    this.#last = shape;
    this.#read(changed, shape);
    this.#multiply(changed);
    return { size: terms.length + 1, products: this.#products.slice(), used: this.#used };
  }

  #read(changed: readonly number[], shape: Shape): void {
    const { terms } = this.#problem;
    const columns = this.#columns;
    const inTerms = changed.filter((j) => j < terms.length);
    const reader = new RowReader({ ...this.#problem, terms: inTerms.map((j) => terms[j]) });
    let row = 0;
    for (const { values, capacity, count } of reader.rows(shape, null, this.#stride)) {
      for (const [at, j] of [...inTerms, terms.length].entries())
        columns[j].set(values.subarray(at * capacity, at * capacity + count), row);
      row += count;
    }
    this.#used = row;
  }

  #multiply(changed: readonly number[]): void {
    const columns = this.#columns;
    const products = this.#products;
    const size = columns.length;
    for (const a of changed)
      for (let b = 0; b < size; b++) {
        if (b > a && changed.includes(b)) continue;
        products[Math.max(a, b) * size + Math.min(a, b)] = dot(columns[a], columns[b], this.#used);
      }
    mirror(products, size);
  }
}

/** Whether a term's column at force samples differs between two shapes. */
function changes(term: TermName, a: Shape, b: Shape): boolean {
  if (a.lag_s !== b.lag_s) return true;
  if (term === 'stop') return a.stop_m !== b.stop_m;
  if (isDamping(term)) return a.deadStroke_m !== b.deadStroke_m || a.airPower !== b.airPower;
  return (
    isOfSeal(term) &&
    (a.presliding_m !== b.presliding_m ||
      a.breakawayExcess !== b.breakawayExcess ||
      a.stribeckSpeed_m_per_s !== b.stribeckSpeed_m_per_s ||
      a.startState !== b.startState)
  );
}
