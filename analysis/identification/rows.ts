import { type BlockColumns, columnsAtSamples, columnsOnGrid } from './block-columns.js';
import { isOfSeal } from './column-maker.js';
import { type Live, liveColumns } from './live-columns.js';
import { type FitProblem, gridShift, type Shape } from './problem.js';
import { followSealInto, sealTrack } from './seal-memory.js';

/** Values at some force samples: columns [terms | shape derivatives | force], one after the other. */
export interface Rows {
  /** (terms + shapes + 1) columns of `capacity` values, and one of zeros; column j begins at j·capacity. */
  readonly values: Float64Array;
  readonly capacity: number;
  /** Columns that are given, ascending; the others are 0 in all these rows. */
  readonly live: readonly number[];
  /** Force sample of each row, increasing. */
  readonly sample: Int32Array;
  readonly count: number;
}

/**
 * Rows that are read: all samples or those that count, in time order; or those that count sorted, some at a time, by
 * which way friction slides, where most columns are 0.
 */
export type Reading = 'all' | 'counting' | 'sorted';

const capacity = 512;

/** Rows that are read together: force samples, the point of the block's grid before each, the share of a step beyond. */
interface Lot {
  readonly live: Live;
  readonly sample: Int32Array;
  readonly point: Int32Array;
  readonly share: Float64Array;
  count: number;
}

const lotOf = (live: Live): Lot => ({
  live,
  sample: new Int32Array(capacity),
  point: new Int32Array(capacity),
  share: new Float64Array(capacity),
  count: 0,
});

/**
 * Prepares a problem for repeated reading. At a shape, the seal is followed through the motion grid block by block;
 * regressors are made at the force samples' times less the lag or, where the converter averages, on the grid and read
 * through its weights.
 * @param sums weights by term; where given, rows hold what the terms add up to under each instead of the terms
 *   themselves, and there are no derivatives
 * @returns a function that visits all samples, some at a time; derivatives by shape, where the problem
 *   has shapes, need the linear `coefficients`; `stride` takes every stride-th sample
 */
export function rowReader(problem: FitProblem, sums: readonly Float64Array[] | null = null) {
  const { time_s, force_N, counts, grid, blocks, averagings, width, terms } = problem;
  const shapes = sums ? [] : problem.shapes;
  const followsSeal = shapes.length > 0 || terms.some(isOfSeal);
  const longest = blocks.reduce((most, block) => Math.max(most, block.end - block.from + 1), 0);
  const seal = sealTrack(longest);
  const read = sums ? sums.length : terms.length + shapes.length;
  const values = new Float64Array((read + 2) * capacity);
  const outputs = Array.from({ length: read }, (_, j) => values.subarray(j * capacity, (j + 1) * capacity));
  const lots = ([0, 1, -1] as const).map((way) => lotOf(liveColumns(way, terms, shapes, sums)));
  const [anyhow, compressing, rebounding] = lots;
  /** Grid points up to the one after it that a row is made from. */
  const reach = averagings * (width - 1) + 2;
  const made: BlockColumns =
    averagings > 0
      ? columnsOnGrid({ ...problem, shapes }, sums, seal, longest)
      : columnsAtSamples({ ...problem, shapes }, sums, seal, capacity);

  return function visitRows(
    shape: Shape,
    coefficients: Float64Array | null,
    stride: number,
    visit: (rows: Rows) => void,
    reading: Reading = 'counting',
  ): void {
    const perStep = 1 / grid.step_s;
    const sorted = reading === 'sorted' && followsSeal;
    let i = 0;
    for (let b = 0; b < blocks.length; b++) {
      const { from, first, end } = blocks[b];
      const shift = gridShift(problem, blocks[b], shape.lag_s);
      if (time_s[i] * perStep + shift < first) i = stride * Math.ceil(firstAt(first - shift, i) / stride);
      if (i >= time_s.length) break;
      if (followsSeal) followSeal(b, shape);
      made.begin(b, shape, coefficients);
      for (; i < time_s.length; i += stride) {
        if (reading !== 'all' && !counts[i]) continue;
        const place = time_s[i] * perStep + shift;
        const k = Math.floor(place);
        if (k >= end) break;
        if (k < first) continue;
        const point = k - from;
        const slides = sorted && seal.slidingSince[point + 1] + reach <= point + 2;
        const lot = !slides ? anyhow : seal.state[point] > 0 ? compressing : rebounding;
        lot.sample[lot.count] = i;
        lot.point[lot.count] = point;
        lot.share[lot.count] = place - k;
        lot.count++;
        if (lot.count === capacity) handOn(lot, visit);
      }
      for (const lot of lots) if (lot.count > 0) handOn(lot, visit);
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

  function handOn(lot: Lot, visit: (rows: Rows) => void): void {
    const { live, sample, count } = lot;
    made.readInto(outputs, lot, live);
    for (let r = 0, at = read * capacity; r < count; r++) values[at + r] = force_N[sample[r]];
    lot.count = 0;
    visit({ values, capacity, live: live.columns, sample, count });
  }

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
