import { dot } from '../numerics/linear.js';
import { isOfSeal } from './column-maker.js';
import { isDamping, type TermName } from './columns.js';
import { type Gram, mirror } from './gram.js';
import type { FitProblem, Shape } from './problem.js';
import { rowReader } from './rows.js';

/**
 * Cross products of a problem's terms at one shape after another: columns that a shape leaves as the one before had
 * them are neither made nor multiplied again.
 * @param problem without shape parameters, so that no derivatives are made
 * @param stride use every stride-th sample
 */
export function glancer(problem: FitProblem, stride: number): (shape: Shape) => Gram {
  const { terms } = problem;
  const size = terms.length + 1;
  const columns = Array.from({ length: size }, () => new Float64Array(0));
  const products = new Float64Array(size * size);
  let used = 0;
  let last: Shape | null = null;

  return (shape) => {
    const changed = terms.flatMap((term, j) => (!last || changes(term, last, shape) ? [j] : []));
    if (!last || last.lag_s !== shape.lag_s) changed.push(size - 1);
    last = shape;
    read(changed, shape);
    multiply(changed);
    return { size, products: products.slice(), used };
  };

  function read(changed: readonly number[], shape: Shape): void {
    const inTerms = changed.filter((j) => j < terms.length);
    const reader = rowReader({ ...problem, terms: inTerms.map((j) => terms[j]) });
    const most = Math.ceil(problem.time_s.length / stride);
    for (const j of changed) if (columns[j].length < most) columns[j] = new Float64Array(most);
    let row = 0;
    reader(shape, null, stride, ({ values, capacity, count }) => {
      inTerms.concat(size - 1).forEach((j, at) => {
        columns[j].set(values.subarray(at * capacity, at * capacity + count), row);
      });
      row += count;
    });
    used = row;
  }

  function multiply(changed: readonly number[]): void {
    for (const a of changed)
      for (let b = 0; b < size; b++) {
        if (b > a && changed.includes(b)) continue;
        products[Math.max(a, b) * size + Math.min(a, b)] = dot(columns[a], columns[b], used);
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
