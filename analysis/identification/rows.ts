import { type BlockColumns, columnsAtSamples, columnsOnGrid } from './block-columns.js';
import { isOfSeal } from './column-maker.js';
import { type FitProblem, gridShift, type Shape } from './problem.js';
import { followSealInto, sealTrack } from './seal-memory.js';

/** Values at some force samples: columns [terms | shape derivatives | force], one after the other. */
export interface Rows {
  /** (terms + shapes + 1, made even) columns of `capacity` values; column j begins at j·capacity. */
  readonly values: Float64Array;
  readonly capacity: number;
  /** Force sample of each row, increasing. */
  readonly sample: Int32Array;
  readonly count: number;
}

const capacity = 512;

/**
 * Prepares a problem for repeated reading. At a shape, the seal is followed through the motion grid block by block;
 * regressors are made at the force samples' times less the lag or, where the converter averages, on the grid and read
 * through its weights.
 * @param sums weights by term; where given, rows hold what the terms add up to under each instead of the terms
 *   themselves, and there are no derivatives
 * @returns a function that visits all samples in time order, some at a time; derivatives by shape, where the problem
 *   has shapes, need the linear `coefficients`; `stride` takes every stride-th sample, and samples that do not
 *   count are read only where `all` is asked for
 */
export function rowReader(problem: FitProblem, sums: readonly Float64Array[] | null = null) {
  const { time_s, force_N, counts, grid, blocks, averagings, terms } = problem;
  const shapes = sums ? [] : problem.shapes;
  const followsSeal = shapes.length > 0 || terms.some(isOfSeal);
  const longest = blocks.reduce((most, block) => Math.max(most, block.end - block.from + 1), 0);
  const seal = sealTrack(longest);
  const read = sums ? sums.length : terms.length + shapes.length;
  const values = new Float64Array((read + 1 + ((read + 1) % 2)) * capacity);
  const outputs = Array.from({ length: read }, (_, j) => values.subarray(j * capacity, (j + 1) * capacity));
  const sample = new Int32Array(capacity);
  const point = new Int32Array(capacity);
  const share = new Float64Array(capacity);
  const rows = { values, capacity, sample, count: 0 };
  const made: BlockColumns =
    averagings > 0
      ? columnsOnGrid({ ...problem, shapes }, sums, seal, longest)
      : columnsAtSamples({ ...problem, shapes }, sums, seal, capacity);

  return function visitRows(
    shape: Shape,
    coefficients: Float64Array | null,
    stride: number,
    visit: (rows: Rows) => void,
    all = false,
  ): void {
    const perStep = 1 / grid.step_s;
    let i = 0;
    for (let b = 0; b < blocks.length; b++) {
      const { from, first, end } = blocks[b];
      const shift = gridShift(problem, blocks[b], shape.lag_s);
      if (time_s[i] * perStep + shift < first) i = stride * Math.ceil(firstAt(first - shift, i) / stride);
      if (i >= time_s.length) break;
      if (followsSeal) followSeal(b, shape);
      made.begin(b, shape, coefficients);
      while (i < time_s.length) {
        let count = 0;
        let beyond = false;
        for (; i < time_s.length && count < capacity; i += stride) {
          if (!all && !counts[i]) continue;
          const place = time_s[i] * perStep + shift;
          const k = Math.floor(place);
          if (k >= end) {
            beyond = true;
            break;
          }
          if (k < first) continue;
          sample[count] = i;
          point[count] = k - from;
          share[count] = place - k;
          count++;
        }
        if (count > 0) {
          made.readInto(outputs, point, share, count);
          for (let r = 0, at = read * capacity; r < count; r++) values[at + r] = force_N[sample[r]];
          rows.count = count;
          visit(rows);
        }
        if (beyond) break;
      }
    }

    /** First sample, from `low` on, whose time is not before so many grid steps. */
    function firstAt(steps: number, low: number): number {
      let high = time_s.length;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (time_s[middle] * perStep < steps) low = middle + 1;
        else high = middle;
      }
      return low;
    }
  };

  function followSeal(b: number, shape: Shape): void {
    const { from, end, memory } = blocks[b];
    const before =
      memory === 'continues' ? from - 1 - blocks[b - 1].from : memory === 'start' ? 'start' : 'sliding';
    const { position_m, velocity_m_per_s } = grid;
    followSealInto(seal, position_m, velocity_m_per_s, shape, from, end - from + 1, before);
  }
}

/** Visits rows of a problem; see `rowReader`. */
export type RowReader = ReturnType<typeof rowReader>;
