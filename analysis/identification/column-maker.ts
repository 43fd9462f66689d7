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
import type { SealTrack } from './seal-memory.js';

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

/**
 * Makes a problem's columns [terms | shape derivatives], N per unit of each parameter.
 * @param longest most points at a place
 */
export function columnMaker({ terms, features, span }: FitProblem, longest: number) {
  const shaping = features.travel_m ? new Float64Array(longest) : null;
  const slope = features.travel_m ? new Float64Array(longest) : null;
  const part = new Float64Array(longest);

  /** Comes before the columns of a place. */
  function takeUp({ points, shape, n }: Place): void {
    if (shaping) deadStrokeInto(shaping, points.travel_m!, n, shape);
  }

  /**
   * A term's column.
   * @param own receives n values; a column that is kept, or need not change, is returned as it is known instead
   */
  function termColumn(term: TermName, own: Float64Array, place: Place): Float64Array {
    const { points, seal, n } = place;
    if (isOfSeal(term)) {
      fillDragColumn(own, term, seal.state, points, n);
      return own;
    }
    const column = motionColumn(term, own, place);
    if (!isDamping(term) || (!shaping && !points.atCeiling)) return column;
    actingDampingInto(own, column, points, shaping, n);
    return own;
  }

  /** A column of motion alone: kept where the points' are, unless the shape moves it; else made in `own`. */
  function motionColumn(term: TermName, own: Float64Array, { points, shape, n, kept }: Place): Float64Array {
    const stop = { stop_m: shape.stop_m, side: features.stopSide ?? 1 };
    if (!kept || isOfCeiling(term) || term === 'stop') {
      fillMotionColumn(own, term, points, n, span, stop);
      return own;
    }
    let column = kept.get(term);
    if (!column) {
      column = new Float64Array(n);
      fillMotionColumn(column, term, points, n, span, stop);
      kept.set(term, column);
    }
    return column;
  }

  /** The derivative by one shape parameter of what the terms add up to under their coefficients; not by the lag. */
  function derivativeInto(
    out: Float64Array,
    name: ShapeName,
    place: Place,
    coefficients: Float64Array,
  ): void {
    const { points, seal, shape, n } = place;
    const of = (term: TermName) => coefficients[terms.indexOf(term)] ?? 0;
    if (name === 'stop') {
      const side = features.stopSide ?? 1;
      const stiffness = of('stop');
      for (let k = 0; k < n; k++) out[k] = side * (points.position_m[k] - shape.stop_m) > 0 ? -stiffness : 0;
    } else if (name === 'deadStroke' || name === 'airPower') {
      deadStrokeSlopeInto(slope!, points.travel_m!, n, shape, name);
      out.fill(0, 0, n);
      terms.forEach((term, j) => {
        if (!isDamping(term)) return;
        actingDampingInto(part, motionColumn(term, part, place), points, slope, n);
        addTo(out, part, coefficients[j], n);
      });
    } else {
      const by = sealDerivative(seal, name);
      const { along: z } = points;
      const [up, down] = [of('dragCompression'), of('dragRebound')];
      const [taper, bow] = [of('dragTaper'), of('dragBow')];
      for (let k = 0; k < n; k++)
        out[k] = by[k] * ((seal.state[k] > 0 ? up : down) + taper * z[k] + bow * legendre.gas2(z[k]));
    }
  }

  /** What the terms add up to under some weights, all at once. */
  function sumInto(out: Float64Array, weights: Float64Array, { points, seal, shape, n }: Place): void {
    const { position_m: x, along, velocity_m_per_s, acceleration_m_per_s2, warmth, atCeiling } = points;
    const { state } = seal;
    const of = (term: TermName) => weights[terms.indexOf(term)] ?? 0;
    const gas = powersOf(of('offset'), of('gas1'), of('gas2'), of('gas3'), of('gas4'));
    const [gas0, gas1, gas2, gas3, gas4] = gas;
    const [dragUp, dragDown, taper, bow] = [
      of('dragCompression'),
      of('dragRebound'),
      of('dragTaper'),
      of('dragBow'),
    ];
    const [linearUp, linearDown] = [of('linearCompression'), of('linearRebound')];
    const [quadraticUp, quadraticDown] = [of('quadraticCompression'), of('quadraticRebound')];
    const [bendUp, bendDown] = [of('bendCompression'), of('bendRebound')];
    const [thinning, mass] = [of('thinning'), of('mass')];
    const [ceiling, ceilingRise] = [of('ceiling'), of('ceilingRise')];
    const stiffness = of('stop');
    const side = features.stopSide ?? 1;
    for (let k = 0; k < n; k++) {
      const z = along[k];
      const v = velocity_m_per_s[k];
      const s = state[k];
      const up = v > 0;
      let damping =
        v *
        ((up ? linearUp : linearDown) +
          (up ? quadraticUp : quadraticDown) * Math.abs(v) +
          thinning * warmth[k]);
      const bend = up ? bendUp : bendDown;
      if (bend !== 0 && v !== 0) damping += bend * bendAt(span, v);
      if (shaping) damping *= shaping[k];
      if (atCeiling) damping += atCeiling[k] * (ceiling + ceilingRise * z - damping);
      const touched = side * (x[k] - shape.stop_m);
      out[k] =
        damping +
        gas0 +
        z * (gas1 + z * (gas2 + z * (gas3 + z * gas4))) +
        s * ((s > 0 ? dragUp : dragDown) + taper * z + bow * legendre.gas2(z)) +
        mass * acceleration_m_per_s2[k] +
        (touched > 0 ? side * touched * stiffness : 0);
    }
  }

  return { takeUp, termColumn, derivativeInto, sumInto };
}

/** Legendre polynomials under some weights as a series of powers. */
const powersOf = (w0: number, w1: number, w2: number, w3: number, w4: number) =>
  [w0 - 0.5 * w2 + 0.375 * w4, w1 - 1.5 * w3, 1.5 * w2 - 3.75 * w4, 2.5 * w3, 4.375 * w4] as const;

function addTo(out: Float64Array, column: Float64Array, weight: number, n: number): void {
  if (weight !== 0) for (let k = 0; k < n; k++) out[k] += weight * column[k];
}

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
