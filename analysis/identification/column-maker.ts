import {
  actingDampingInto,
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

  /**
   * Every term's column.
   * @param own a column for each, of n values or more; one that is kept, or need not change, is returned as it is known
   */
  function termsInto(own: readonly Float64Array[], place: Place): Float64Array[] {
    takeUp(place);
    return terms.map((term, j) => termColumn(term, own[j], place));
  }

  /** What the terms add up to under each of some weights, the columns made one after the other. */
  function sumsInto(out: readonly Float64Array[], weights: readonly Float64Array[], place: Place): void {
    const { n } = place;
    takeUp(place);
    for (const sum of out) sum.fill(0, 0, n);
    terms.forEach((term, j) => {
      if (weights.every((under) => under[j] === 0)) return;
      const column = termColumn(term, part, place);
      for (let s = 0; s < weights.length; s++) addTo(out[s], column, weights[s][j], n);
    });
  }

  function takeUp({ points, shape, n }: Place): void {
    if (shaping) deadStrokeInto(shaping, points.travel_m!, n, shape);
  }

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

  return { termsInto, sumsInto, derivativeInto };
}

function addTo(out: Float64Array, column: Float64Array, weight: number, n: number): void {
  if (weight !== 0) for (let k = 0; k < n; k++) out[k] += weight * column[k];
}

/** What the first columns add up to, as many as there are weights. */
export function addUp(
  out: Float64Array,
  columns: readonly Float64Array[],
  weights: Float64Array,
  n: number,
): void {
  out.fill(0, 0, n);
  for (let j = 0; j < weights.length; j++) addTo(out, columns[j], weights[j], n);
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
