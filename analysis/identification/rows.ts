import { fillMotionColumn, isDamping } from './columns.js';
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

/**
 * Prepares a problem for repeated reading. At a shape, every regressor is made on the motion grid block by block, and
 * read through the converter's averaging at the force samples' times less the lag, linearly between grid points.
 * @param keep whether columns that no shape changes are kept from one shape to the next, at the cost of their memory
 * @returns a function that visits all samples in time order, some at a time; derivatives by shape need the linear
 *   `coefficients` (null: these columns are zero), `stride` takes every stride-th sample, and samples that do not
 *   count are read only where `all` is asked for
 */
export function rowReader(problem: FitProblem, keep: boolean) {
  const { time_s, force_N, counts, grid, blocks, width, averagings, features, terms, shapes } = problem;
  const p = terms.length;
  const q = shapes.length;
  const longest = blocks.reduce((most, block) => Math.max(most, block.end - block.from + 1), 0);
  const track = sealTrack(longest);
  const columns = Array.from({ length: p + q }, () => new Float64Array(longest));
  const fitted = new Float64Array(longest);
  const shaping = features.travel_m ? new Float64Array(longest) : null;
  const varies = terms.map(
    (term) => term.startsWith('drag') || term === 'stop' || (shaping !== null && isDamping(term)),
  );
  const kept: Float64Array[][] | null = keep ? [] : null;
  const size = p + q + 1;
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
          gather(linear, coefficients !== null, count);
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
    const before =
      memory === 'continues' ? from - 1 - blocks[b - 1].from : memory === 'start' ? 'start' : 'sliding';
    followSealInto(track, grid.position_m, grid.velocity_m_per_s, shape, from, n, before);
    if (shaping) deadStrokeInto(shaping, features.travel_m!, from, n, shape);
    const unchanging = kept?.[b];
    const made: Float64Array[] = columns.slice();
    for (let j = 0; j < p; j++) {
      if (unchanging && !varies[j]) {
        made[j] = unchanging[j];
        continue;
      }
      const out = keep && !varies[j] ? new Float64Array(n) : columns[j];
      if (terms[j] === 'dragCompression') for (let k = 0; k < n; k++) out[k] = Math.max(track.state[k], 0);
      else if (terms[j] === 'dragRebound') for (let k = 0; k < n; k++) out[k] = Math.min(track.state[k], 0);
      else fillMotionColumn(out, terms[j], problem, from, n, shape.stop_m, shaping);
      made[j] = out;
    }
    if (kept && !unchanging) kept[b] = made.slice(0, p);
    if (!coefficients) return made;
    for (let j = 0; j < q; j++) {
      if (shapes[j] === 'lag') continue;
      fillDerivative(made[p + j], shapes[j], from, n, shape, coefficients);
    }
    fitted.fill(0, 0, n);
    for (let j = 0; j < p; j++) {
      const column = made[j];
      const c = coefficients[j];
      for (let k = 0; k < n; k++) fitted[k] += c * column[k];
    }
    return made;
  }

  function gather(made: readonly Float64Array[], withShapes: boolean, count: number): void {
    valuesInto(values, capacity, withShapes ? made : made.slice(0, p), point, share, count);
    if (!withShapes) values.fill(0, p * capacity, (p + q) * capacity);
    const lag = withShapes ? shapes.indexOf('lag') : -1;
    if (lag >= 0) {
      const at = (p + lag) * capacity;
      slopesInto(values, at, fitted, point, count);
      for (let r = 0; r < count; r++) values[at + r] *= -1 / grid.step_s;
    }
    const at = (p + q) * capacity;
    for (let r = 0; r < count; r++) values[at + r] = force_N[sample[r]];
  }

  function fillDerivative(
    out: Float64Array,
    name: ShapeName,
    from: number,
    n: number,
    shape: Shape,
    coefficients: Float64Array,
  ): void {
    const of = (term: FitProblem['terms'][number]) => coefficients[terms.indexOf(term)] ?? 0;
    if (name === 'stop') {
      const side = features.stopSide ?? 1;
      const stiffness = of('stop');
      for (let k = 0; k < n; k++)
        out[k] = side * (grid.position_m[from + k] - shape.stop_m) > 0 ? -stiffness : 0;
    } else if (name === 'deadStroke' || name === 'airPower') {
      const slope = shaping!.slice(0, n);
      deadStrokeSlopeInto(slope, features.travel_m!, from, shape, name);
      const part = new Float64Array(n);
      out.fill(0, 0, n);
      terms.forEach((term, j) => {
        if (!isDamping(term)) return;
        fillMotionColumn(part, term, problem, from, n, 0, slope);
        for (let k = 0; k < n; k++) out[k] += coefficients[j] * part[k];
      });
    } else {
      const by = sealDerivative(track, name);
      const levelUp = of('dragCompression');
      const levelDown = of('dragRebound');
      for (let k = 0; k < n; k++) out[k] = by[k] * (track.state[k] > 0 ? levelUp : levelDown);
    }
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
