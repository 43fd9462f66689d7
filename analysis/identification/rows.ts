import { type BlockColumns, ColumnsAtSamples, ColumnsOnGrid } from './block-columns.js';
import type { Block } from './blocks.js';
import { isOfSeal } from './column-maker.js';
import { allLive, type Live, liveColumns } from './live-columns.js';
import { type FitProblem, gridShift, type Shape, uniformProblem, uniformShape } from './problem.js';
import { followSealInto, type SealTrack, sealTrack } from './seal-memory.js';

/** Values at some force samples: columns [terms | shape derivatives | force] or [sums | force], one after the other. */
export interface Rows {
  /**
   * Columns of `capacity` values and one of zeros; column j begins at j·capacity. Those that are not live hold what
   * earlier rows left there.
   */
  readonly values: Float64Array;
  readonly capacity: number;
  /** Columns that are given, ascending; the others are 0 in all these rows. */
  readonly live: readonly number[];
  /** Force sample of each of these rows, increasing. */
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

const emptyLot = (live: Live): Lot => ({
  live,
  sample: new Int32Array(capacity),
  point: new Int32Array(capacity),
  share: new Float64Array(capacity),
  count: 0,
});

/**
 * A problem prepared for repeated reading. At a shape, the seal is followed through the motion grid block by block;
 * regressors are made at the force samples' times less the lag or, where the converter averages, on the grid and read
 * through its weights.
 */
export class RowReader {
  readonly #problem: FitProblem;
  readonly #seal: SealTrack;
  readonly #followsSeal: boolean;
  /** Grid steps a second. */
  readonly #perStep: number;
  readonly #made: BlockColumns;
  readonly #values: Float64Array;
  readonly #outputs: readonly Float64Array[];
  readonly #lots: readonly [mixed: Lot, compressing: Lot, rebounding: Lot];

  /**
   * @param sums weights by term; where given, rows hold what the terms add up to under each instead of the terms
   *   themselves, and there are no derivatives
   */
  constructor(asked: FitProblem, sums: readonly Float64Array[] | null = null) {
    const problem = uniformProblem(asked);
    const { blocks, averagings, terms } = problem;
    const shapes = sums ? [] : problem.shapes;
    const longest = blocks.reduce((most, block) => Math.max(most, block.end - block.from + 1), 0);
    const read = sums ? sums.length : terms.length + shapes.length;
    const lotOf = (direction: -1 | 0 | 1) =>
      emptyLot(sums ? allLive(sums.length + 1) : liveColumns(direction, terms, shapes));
    this.#problem = problem;
    this.#perStep = 1 / problem.grid.step_s;
    this.#seal = sealTrack(longest);
    this.#followsSeal = shapes.length > 0 || terms.some(isOfSeal);
    this.#made =
      averagings > 0
        ? new ColumnsOnGrid(problem, sums, this.#seal, longest)
        : new ColumnsAtSamples(problem, sums, this.#seal, capacity);
    this.#values = new Float64Array((read + 2) * capacity);
    this.#outputs = Array.from({ length: read }, (_, j) =>
      this.#values.subarray(j * capacity, (j + 1) * capacity),
    );
    this.#lots = [lotOf(0), lotOf(1), lotOf(-1)];
  }

  /**
   * Visits all samples, some at a time; what it yields holds until the next, and the next visit ends it.
   * @param coefficients linear ones, for derivatives by shape, where the problem has shapes
   * @param stride takes every stride-th sample
   */
  *rows(
    asked: Shape,
    coefficients: Float64Array | null,
    stride: number,
    reading: Reading = 'counting',
  ): Generator<Rows, void> {
    const { time_s, blocks } = this.#problem;
    const shape = uniformShape(asked);
    for (const lot of this.#lots) lot.count = 0;
    let i = 0;
    for (let b = 0; b < blocks.length; b++) {
      const shift = gridShift(this.#problem, blocks[b], shape.lag_s);
      i = this.#enter(blocks[b], shift, i, stride);
      if (i >= time_s.length) break;
      if (this.#followsSeal) this.#follow(b, shape);
      this.#made.begin(b, shape, coefficients);
      for (;;) {
        i = this.#gather(blocks[b], shift, i, stride, reading);
        const full = this.#lots.find(({ count }) => count === capacity);
        if (!full) break;
        yield this.#read(full);
      }
      for (const lot of this.#lots) if (lot.count > 0) yield this.#read(lot);
    }
  }

  /** First sample of the stride, from i on, whose place is not before a block's first. */
  #enter({ first }: Block, shift: number, i: number, stride: number): number {
    const { time_s } = this.#problem;
    const perStep = this.#perStep;
    if (time_s[i] * perStep + shift >= first) return i;
    let low = i;
    let high = time_s.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (time_s[middle] * perStep + shift < first) low = middle + 1;
      else high = middle;
    }
    return stride * Math.ceil(low / stride);
  }

  /**
   * Adds a block's samples to the lots, from i on, until one is full or the block ends.
   * @returns the first sample that was not added
   */
  #gather({ from, first, end }: Block, shift: number, i: number, stride: number, reading: Reading): number {
    const { time_s, counts, averagings, width } = this.#problem;
    const perStep = this.#perStep;
    const { slidingSince, state } = this.#seal;
    const [mixed, compressing, rebounding] = this.#lots;
    const sorted = reading === 'sorted' && this.#followsSeal;
    const all = reading === 'all';
    /** Grid points, up to the one after it, that a row is made from. */
    const reach = averagings * (width - 1) + 2;
    for (; i < time_s.length; i += stride) {
      if (!all && !counts[i]) continue;
      const place = time_s[i] * perStep + shift;
      const k = Math.floor(place);
      if (k >= end) break;
      if (k < first) continue;
      const point = k - from;
      const slides = sorted && slidingSince[point + 1] + reach <= point + 2;
      const lot = !slides ? mixed : state[point] > 0 ? compressing : rebounding;
      const r = lot.count++;
      lot.sample[r] = i;
      lot.point[r] = point;
      lot.share[r] = place - k;
      if (lot.count === capacity) return i + stride;
    }
    return i;
  }

  #follow(b: number, shape: Shape): void {
    const { grid, blocks } = this.#problem;
    const { from, end, memory } = blocks[b];
    const before =
      memory === 'continues' ? from - 1 - blocks[b - 1].from : memory === 'start' ? 'start' : 'sliding';
    const { position_m, velocity_m_per_s } = grid;
    followSealInto(this.#seal, position_m, velocity_m_per_s, shape, from, end - from + 1, before);
  }

  #read(lot: Lot): Rows {
    const values = this.#values;
    const { live, sample, count } = lot;
    this.#made.readInto(this.#outputs, lot, live);
    const { force_N } = this.#problem;
    for (let r = 0, at = this.#outputs.length * capacity; r < count; r++) values[at + r] = force_N[sample[r]];
    lot.count = 0;
    return { values, capacity, live: live.columns, sample, count };
  }
}
