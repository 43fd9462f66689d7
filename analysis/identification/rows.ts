import {
  actingDampingInto,
  fillDragColumn,
  fillMotionColumn,
  isDamping,
  legendre,
  strokeCoordinate,
  type TermName,
} from './columns.js';
import { converterWeights } from './converter-kernel.js';
import { deadStrokeInto, deadStrokeSlopeInto } from './dead-stroke.js';
import { type FitProblem, gridShift, type Shape, type ShapeName } from './problem.js';
import { columnReader } from './read-columns.js';
import { followSealInto, type SealTrack, sealTrack } from './seal-memory.js';

/** Values at some force samples: columns [terms | shape derivatives | force], one after the other. */
export interface Rows {
  /** (terms + shapes + 1, made even) columns of `capacity` values; column j begins at j·capacity. */
  readonly values: Float64Array;
  readonly capacity: number;
  /** Force sample of each row, increasing. */
  readonly sample: Int32Array;
  readonly count: number;
}

const capacity = 1024;

/** Whether a term's column follows the seal. */
const isOfSeal = (term: TermName): boolean => term.startsWith('drag');

/** Whether a column depends on which points stand at the ceiling, and so differs between problems on one grid. */
const isOfCeiling = (term: TermName): boolean => term.startsWith('ceiling');

/**
 * Prepares a problem for repeated reading. At a shape, every regressor is made on the motion grid block by block, and
 * read through the converter's averaging at the force samples' times less the lag, linearly between grid points.
 * @param sums weights by term; where given, rows hold what the terms add up to under each instead of the terms
 *   themselves, and there are no derivatives
 * @returns a function that visits all samples in time order, some at a time; derivatives by shape, where the problem
 *   has shapes, need the linear `coefficients`; `stride` takes every stride-th sample, and samples that do not
 *   count are read only where `all` is asked for
 */
export function rowReader(problem: FitProblem, sums: readonly Float64Array[] | null = null) {
  const { time_s, force_N, counts, grid, blocks, kept, width, averagings, features, span, terms } = problem;
  const shapes = sums ? [] : problem.shapes;
  const p = terms.length;
  const q = shapes.length;
  const followsSeal = q > 0 || terms.some(isOfSeal);
  const lag = shapes.indexOf('lag');
  const longest = blocks.reduce((most, block) => Math.max(most, block.end - block.from + 1), 0);
  const track = sealTrack(longest);
  const columns = Array.from({ length: p + q }, () => new Float64Array(longest));
  const fitted = new Float64Array(longest);
  const shaping = features.travel_m ? new Float64Array(longest) : null;
  const acting = shaping !== null || features.atCeiling !== null;
  const summed = (sums ?? []).map(() => new Float64Array(longest));
  const read = sums ? sums.length : p + q;
  const size = read + 1;
  const values = new Float64Array((size + (size % 2)) * capacity);
  const sample = new Int32Array(capacity);
  const point = new Int32Array(capacity);
  const share = new Float64Array(capacity);
  const rows = { values, capacity, sample, count: 0 };
  const { valuesInto, slopesInto } = columnReader(converterWeights(width, averagings));

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
      const linear = makeColumns(b, shape, coefficients);
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
          gather(linear, count);
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

  /** Columns [terms | shapes] of one block; and what they add up to, for the derivative by the lag. */
  function makeColumns(b: number, shape: Shape, coefficients: Float64Array | null): Float64Array[] {
    const { from, end, memory } = blocks[b];
    const n = end - from + 1;
    if (followsSeal) {
      const before =
        memory === 'continues' ? from - 1 - blocks[b - 1].from : memory === 'start' ? 'start' : 'sliding';
      followSealInto(track, grid.position_m, grid.velocity_m_per_s, shape, from, n, before);
    }
    if (shaping) deadStrokeInto(shaping, features.travel_m!, from, n, shape);
    const made: Float64Array[] = columns.slice();
    for (let j = 0; j < p; j++) made[j] = termColumn(terms[j], columns[j], b, shape);
    for (let j = 0; j < q; j++)
      if (j !== lag) fillDerivative(made[p + j], shapes[j], b, shape, coefficients!);
    if (lag >= 0) addUp(fitted, made, coefficients!, n);
    if (!sums) return made;
    for (let s = 0; s < sums.length; s++) addUp(summed[s], made, sums[s], n);
    return summed;
  }

  function termColumn(term: TermName, own: Float64Array, b: number, shape: Shape): Float64Array {
    const { from, end } = blocks[b];
    const n = end - from + 1;
    if (isOfSeal(term)) {
      fillDragColumn(own, term, track.state, problem, from, n);
      return own;
    }
    if (term === 'stop') {
      fillMotionColumn(own, term, problem, from, n, shape.stop_m);
      return own;
    }
    const column = motionColumn(term, own, b);
    if (!acting || !isDamping(term)) return column;
    actingDampingInto(own, column, features, shaping, from, n);
    return own;
  }

  /** A column that every shape leaves as it is, kept if this problem's are; else made in `own`. */
  function motionColumn(term: TermName, own: Float64Array, b: number): Float64Array {
    const { from, end } = blocks[b];
    const n = end - from + 1;
    if (!kept || isOfCeiling(term)) {
      fillMotionColumn(own, term, problem, from, n, 0);
      return own;
    }
    const known = kept[b];
    let column = known.get(term);
    if (!column) {
      column = new Float64Array(n);
      fillMotionColumn(column, term, problem, from, n, 0);
      known.set(term, column);
    }
    return column;
  }

  function gather(made: readonly Float64Array[], count: number): void {
    valuesInto(values, capacity, made, point, share, count);
    if (lag >= 0) {
      const at = (p + lag) * capacity;
      slopesInto(values, at, fitted, point, count);
      for (let r = 0; r < count; r++) values[at + r] *= -1 / grid.step_s;
    }
    const at = read * capacity;
    for (let r = 0; r < count; r++) values[at + r] = force_N[sample[r]];
  }

  /** One shape's derivative of what a block's terms add up to. */
  function fillDerivative(
    out: Float64Array,
    name: ShapeName,
    b: number,
    shape: Shape,
    coefficients: Float64Array,
  ): void {
    const { from, end } = blocks[b];
    const n = end - from + 1;
    const of = (term: FitProblem['terms'][number]) => coefficients[terms.indexOf(term)] ?? 0;
    if (name === 'stop') {
      const side = features.stopSide ?? 1;
      const stiffness = of('stop');
      for (let k = 0; k < n; k++)
        out[k] = side * (grid.position_m[from + k] - shape.stop_m) > 0 ? -stiffness : 0;
    } else if (name === 'deadStroke' || name === 'airPower') {
      const slope = new Float64Array(n);
      deadStrokeSlopeInto(slope, features.travel_m!, from, shape, name);
      const part = new Float64Array(n);
      out.fill(0, 0, n);
      terms.forEach((term, j) => {
        if (!isDamping(term)) return;
        actingDampingInto(part, motionColumn(term, part, b), features, slope, from, n);
        for (let k = 0; k < n; k++) out[k] += coefficients[j] * part[k];
      });
    } else {
      const by = sealDerivative(track, name);
      const levelUp = of('dragCompression');
      const levelDown = of('dragRebound');
      for (let k = 0; k < n; k++) out[k] = by[k] * (track.state[k] > 0 ? levelUp : levelDown);
      const [taper, bow] = [of('dragTaper'), of('dragBow')];
      if (taper === 0 && bow === 0) return;
      for (let k = 0; k < n; k++) {
        const z = strokeCoordinate(span, grid.position_m[from + k]);
        out[k] += by[k] * (taper * z + bow * legendre.gas2(z));
      }
    }
  }
}

/** The first columns, as many as there are weights, added up under them. */
function addUp(out: Float64Array, columns: readonly Float64Array[], weights: Float64Array, n: number): void {
  out.fill(0, 0, n);
  for (let j = 0; j < weights.length; j++) {
    const column = columns[j];
    const weight = weights[j];
    if (weight !== 0) for (let k = 0; k < n; k++) out[k] += weight * column[k];
  }
}

/** Visits rows of a problem; see `rowReader`. */
export type RowReader = ReturnType<typeof rowReader>;

function sealDerivative(track: SealTrack, name: ShapeName): Float64Array {
  switch (name) {
    case 'presliding':
      return track.byPresliding;
    case 'excess':
      return track.byExcess;
    case 'stribeck':
      return track.byStribeckSpeed;
    case 'start':
      return track.byStart;
    default:
      throw new RangeError(`${name} is not part of the seal`);
  }
}
