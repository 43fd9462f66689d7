import { kernelDelay_steps } from './converter-kernel.js';
import type { Identification } from './identify.js';
import { readAt } from './motion-grid.js';
import { type FitProblem, gridShift } from './problem.js';
import { RowReader, type Rows } from './rows.js';

/** Force samples with the motion that went with each, and what the fit leaves of them: equal lengths, in time order. */
export interface BesideFit {
  /** On the identification's clock. */
  readonly time_s: Float64Array;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly force_N: Float64Array;
  /** Measured minus fitted. */
  readonly residual_N: Float64Array;
  /** Measured minus all that was fitted but the part that was asked for. */
  readonly part_N: Float64Array;
  /** How much later than its motion a force is stamped. */
  readonly delay_s: number;
}

/**
 * Puts the fit beside what was measured. Position and velocity are those at the middle of the converter's averaging,
 * the lag taken off; samples without motion before them are left out.
 * @param part the terms whose force is looked at
 * @param stride takes every stride-th sample; those that the fit did not use only where `all` is asked for
 */
export function besideFit(
  { problem, fit }: Identification,
  part: RegExp,
  stride = 1,
  all = false,
): BesideFit {
  const { grid, blocks, time_s, terms } = problem;
  // The converter's averaging delays what the columns say; the motion that goes with it is the one at its middle.
  const shift =
    gridShift(problem, blocks[0], fit.shape.lag_s) - kernelDelay_steps(problem.width, problem.averagings);
  const weightsOf = (asked: boolean) =>
    fit.coefficients.map((coefficient, j) => (part.test(terms[j]) === asked ? coefficient : 0));
  const most = Math.ceil(time_s.length / stride);
  const columns = Array.from({ length: 6 }, () => new Float64Array(most));
  const reader = new RowReader(problem, [weightsOf(true), weightsOf(false)]);
  let n = 0;
  for (const rows of reader.rows(fit.shape, null, stride, all ? 'all' : 'counting'))
    n = setBeside(columns, n, rows, problem, shift);
  const [time, position_m, velocity_m_per_s, force, residual_N, part_N] = columns.map((column) =>
    column.subarray(0, n),
  );
  return {
    time_s: time,
    position_m,
    velocity_m_per_s,
    force_N: force,
    residual_N,
    part_N,
    delay_s: -blocks[0].start_s - shift * grid.step_s,
  };
}

/**
 * Adds rows to the columns of `BesideFit`, in its order, from n on.
 * @param shift from a sample's time to its motion's, grid steps
 * @returns how many there are then
 */
function setBeside(
  [t, x, v, f, residual, part]: readonly Float64Array[],
  n: number,
  { values, capacity, sample, count }: Rows,
  { time_s, force_N, grid }: FitProblem,
  shift: number,
): number {
  for (let row = 0; row < count; row++) {
    const i = sample[row];
    const place = time_s[i] / grid.step_s + shift;
    if (place < 0) continue;
    const others = values[capacity + row];
    t[n] = time_s[i];
    x[n] = readAt(grid.position_m, place);
    v[n] = readAt(grid.velocity_m_per_s, place);
    f[n] = force_N[i];
    residual[n] = force_N[i] - others - values[row];
    part[n] = force_N[i] - others;
    n++;
  }
  return n;
}
