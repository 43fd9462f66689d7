import {
  actingDampingInto,
  bendAt,
  type Columns,
  fillDragColumn,
  fillMotionColumn,
  isDamping,
  legendre,
  type Points,
  type TermName,
} from './columns.js';
import { deadStrokeInto, deadStrokeSlopeInto } from './dead-stroke.js';
import type { FitProblem, Shape, ShapeName } from './problem.js';
import { type SealTrack, sealDerivatives } from './seal-memory.js';

/** Whether a term's column follows the seal. */
export const isOfSeal = (term: TermName): boolean => term.startsWith('drag');

/** Whether a column depends on which points stand at the ceiling, and so differs between problems on one grid. */
const isOfCeiling = (term: TermName): boolean => term.startsWith('ceiling');

/** What columns are made from: motion and seal at the first n of some points, at one shape. */
export interface Place {
  readonly points: Points;
  readonly seal: SealTrack;
  readonly shape: Shape;
  readonly n: number;
  /** Motion columns that are known at these points, to be added to; null where none are kept. */
  readonly kept: Columns | null;
}

/** Makes a problem's columns [terms | shape derivatives], N per unit of each parameter. */
export class ColumnMaker {
  readonly #terms: readonly TermName[];
  readonly #features: FitProblem['features'];
  readonly #span: FitProblem['span'];
  readonly #shaping: Float64Array | null;
  readonly #slope: Float64Array | null;
  readonly #part: Float64Array;

  /** @param longest most points at a place */
  constructor({ terms, features, span }: FitProblem, longest: number) {
    this.#terms = terms;
    this.#features = features;
    this.#span = span;
    this.#shaping = features.travel_m ? new Float64Array(longest) : null;
    this.#slope = features.travel_m ? new Float64Array(longest) : null;
    this.#part = new Float64Array(longest);
  }

  /** Comes before the columns of a place. */
  takeUp({ points, shape, n }: Place): void {
    if (this.#shaping) deadStrokeInto(this.#shaping, points.travel_m!, n, shape);
  }

  /**
   * A term's column.
   * @param own receives n values; a column that is kept, or need not change, is returned as it is known instead
   */
  termColumn(term: TermName, own: Float64Array, place: Place): Float64Array {
    const { points, seal, n } = place;
    if (isOfSeal(term)) {
      fillDragColumn(own, term, seal.state, points, n);
      return own;
    }
    const column = this.#motionColumn(term, own, place);
    if (!isDamping(term) || (!this.#shaping && !points.atCeiling)) return column;
    actingDampingInto(own, column, points, this.#shaping, n);
    return own;
  }

  /** A column of motion alone: kept where the points' are, unless the shape moves it; else made in `own`. */
  #motionColumn(term: TermName, own: Float64Array, { points, shape, n, kept }: Place): Float64Array {
    const stop = { stop_m: shape.stop_m, side: this.#features.stopSide ?? 1 };
    if (!kept || isOfCeiling(term) || term === 'stop') {
      fillMotionColumn(own, term, points, n, this.#span, stop);
      return own;
    }
    let column = kept.get(term);
    if (!column) {
      column = new Float64Array(n);
      fillMotionColumn(column, term, points, n, this.#span, stop);
      kept.set(term, column);
    }
    return column;
  }

  /** The derivative by one shape parameter of what the terms add up to under their coefficients; not by the lag. */
  derivativeInto(out: Float64Array, name: ShapeName, place: Place, coefficients: Float64Array): void {
    const { points, seal, shape, n } = place;
    if (name === 'stop') {
      const side = this.#features.stopSide ?? 1;
      const stiffness = this.#under(coefficients, 'stop');
      for (let k = 0; k < n; k++) out[k] = side * (points.position_m[k] - shape.stop_m) > 0 ? -stiffness : 0;
    } else if (name === 'deadStroke' || name === 'airPower') {
      const slope = this.#slope!;
      const part = this.#part;
      deadStrokeSlopeInto(slope, points.travel_m!, n, shape, name);
      out.fill(0, 0, n);
      this.#terms.forEach((term, j) => {
        if (!isDamping(term)) return;
        actingDampingInto(part, this.#motionColumn(term, part, place), points, slope, n);
        addTo(out, part, coefficients[j], n);
      });
    } else if (name !== 'lag') {
      const up = this.#under(coefficients, 'dragCompression');
      const down = this.#under(coefficients, 'dragRebound');
      const taper = this.#under(coefficients, 'dragTaper');
      const bow = this.#under(coefficients, 'dragBow');
      dragDerivativeInto(out, seal[sealDerivatives[name]], place, up, down, taper, bow);
    }
  }

  /** What the terms add up to under some weights, all at once, their columns never made. */
  sumInto(out: Float64Array, weights: Float64Array, { points, seal, shape, n }: Place): void {
    const { position_m: x, along, velocity_m_per_s, acceleration_m_per_s2, warmth, atCeiling } = points;
    const { state } = seal;
    const span = this.#span;
    const shaping = this.#shaping;
    const side = this.#features.stopSide ?? 1;
    const [p2, p3, p4] = [
      this.#under(weights, 'gas2'),
      this.#under(weights, 'gas3'),
      this.#under(weights, 'gas4'),
    ];
    // Legendre polynomials as a series of powers.
    const gas0 = this.#under(weights, 'offset') - 0.5 * p2 + 0.375 * p4;
    const gas1 = this.#under(weights, 'gas1') - 1.5 * p3;
    const gas2 = 1.5 * p2 - 3.75 * p4;
    const gas3 = 2.5 * p3;
    const gas4 = 4.375 * p4;
    const dragUp = this.#under(weights, 'dragCompression');
    const dragDown = this.#under(weights, 'dragRebound');
    const taper = this.#under(weights, 'dragTaper');
    const bow = this.#under(weights, 'dragBow');
    const linearUp = this.#under(weights, 'linearCompression');
    const linearDown = this.#under(weights, 'linearRebound');
    const quadraticUp = this.#under(weights, 'quadraticCompression');
    const quadraticDown = this.#under(weights, 'quadraticRebound');
    const bendUp = this.#under(weights, 'bendCompression');
    const bendDown = this.#under(weights, 'bendRebound');
    const thinning = this.#under(weights, 'thinning');
    const ceiling = this.#under(weights, 'ceiling');
    const ceilingRise = this.#under(weights, 'ceilingRise');
    const stiffness = this.#under(weights, 'stop');
    const mass = this.#under(weights, 'mass');
    for (let k = 0; k < n; k++) {
      const z = along[k];
      const v = velocity_m_per_s[k];
      const s = state[k];
      const up = v > 0;
      const linear = up ? linearUp : linearDown;
      const quadratic = up ? quadraticUp : quadraticDown;
      const bend = up ? bendUp : bendDown;
      let damping = v * (linear + quadratic * Math.abs(v) + thinning * warmth[k]);
      if (bend !== 0 && v !== 0) damping += bend * bendAt(span, v);
      if (shaping) damping *= shaping[k];
      if (atCeiling) damping += atCeiling[k] * (ceiling + ceilingRise * z - damping);
      const pressed_m = Math.max(0, side * (x[k] - shape.stop_m));
      out[k] =
        gas0 +
        z * (gas1 + z * (gas2 + z * (gas3 + z * gas4))) +
        s * ((s > 0 ? dragUp : dragDown) + taper * z + bow * legendre.gas2(z)) +
        damping +
        mass * acceleration_m_per_s2[k] +
        stiffness * side * pressed_m;
    }
  }

  #under(coefficients: Float64Array, term: TermName): number {
    return coefficients[this.#terms.indexOf(term)] ?? 0;
  }
}

function dragDerivativeInto(
  out: Float64Array,
  by: Float64Array,
  { points: { along: z }, seal: { state }, n }: Place,
  up: number,
  down: number,
  taper: number,
  bow: number,
): void {
  for (let k = 0; k < n; k++)
    out[k] = by[k] * ((state[k] > 0 ? up : down) + taper * z[k] + bow * legendre.gas2(z[k]));
}

function addTo(out: Float64Array, column: Float64Array, weight: number, n: number): void {
  if (weight !== 0) for (let k = 0; k < n; k++) out[k] += weight * column[k];
}
