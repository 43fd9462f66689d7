import { columnMaker, type Place } from './column-maker.js';
import { alongInto, type Points } from './columns.js';
import { converterWeights } from './converter-kernel.js';
import type { Live } from './live-columns.js';
import type { FitProblem, Shape } from './problem.js';
import { columnReader } from './read-columns.js';
import { type SealTrack, sealTrack } from './seal-memory.js';

/** Columns [terms | shapes], or sums of terms, of one block after the other. */
export interface BlockColumns {
  /** Takes up a block at a shape; the seal has been followed through it. */
  begin(b: number, shape: Shape, coefficients: Float64Array | null): void;
  /**
   * Values at some rows.
   * @param out one for each column or sum, `count` values or more each; those that are not live are left as they are
   */
  readInto(out: readonly Float64Array[], places: Places, live: Live): void;
}

/** Rows' places: point of the block's part of the grid and the share of a step beyond it. */
interface Places {
  readonly point: Int32Array;
  readonly share: Float64Array;
  readonly count: number;
}

/**
 * Columns made on the whole block, and read through the weights of a converter that averages.
 * @param longest most points in a block
 */
export function columnsOnGrid(
  problem: FitProblem,
  sums: readonly Float64Array[] | null,
  seal: SealTrack,
  longest: number,
): BlockColumns {
  const { grid, blocks, kept, width, averagings, terms, shapes, features, span } = problem;
  const maker = columnMaker(problem, longest);
  const lag = shapes.indexOf('lag');
  const own = Array.from({ length: terms.length + shapes.length }, () => new Float64Array(longest));
  const summed = (sums ?? []).map(() => new Float64Array(longest));
  const fitted = new Float64Array(longest);
  const along = new Float64Array(longest);
  const { valuesInto, slopesInto } = columnReader(converterWeights(width, averagings));
  let made: readonly Float64Array[] = own;

  return {
    begin(b, shape, coefficients) {
      const { from, end } = blocks[b];
      const n = end - from + 1;
      const part = (column: Float64Array) => column.subarray(from, from + n);
      alongInto(along, part(grid.position_m), n, span);
      const points: Points = {
        position_m: part(grid.position_m),
        along,
        velocity_m_per_s: part(grid.velocity_m_per_s),
        acceleration_m_per_s2: part(grid.acceleration_m_per_s2),
        warmth: part(grid.warmth),
        travel_m: features.travel_m && part(features.travel_m),
        atCeiling: features.atCeiling && part(features.atCeiling),
      };
      const place: Place = { points, seal, shape, n, kept: kept?.[b] ?? null };
      maker.takeUp(place);
      if (sums) {
        sums.forEach((weights, s) => maker.sumInto(summed[s], weights, place));
        made = summed;
        return;
      }
      const columns = terms.map((term, j) => maker.termColumn(term, own[j], place));
      shapes.forEach((name, j) => {
        const column = own[terms.length + j];
        if (j === lag) maker.sumInto(fitted, coefficients!, place);
        else maker.derivativeInto(column, name, place, coefficients!);
        columns.push(column);
      });
      made = columns;
    },
    readInto(out, { point, share, count }, live) {
      const read = live.columns.filter((j) => j < made.length);
      valuesInto(
        read.map((j) => out[j]),
        read.map((j) => made[j]),
        point,
        share,
        count,
      );
      if (lag < 0) return;
      const slope = out[terms.length + lag];
      slopesInto(slope, fitted, point, count);
      for (let r = 0; r < count; r++) slope[r] *= -1 / grid.step_s;
    },
  };
}

/**
 * Columns made at the samples' own times, motion and seal read between grid points: for plain sampling.
 * @param longest most rows read at once
 */
export function columnsAtSamples(
  problem: FitProblem,
  sums: readonly Float64Array[] | null,
  seal: SealTrack,
  longest: number,
): BlockColumns {
  const { grid, blocks, terms, shapes } = problem;
  const maker = columnMaker(problem, longest);
  const lag = shapes.indexOf('lag');
  const here = placeReader(problem, seal, longest);
  const aside = placeReader({ ...problem, shapes: [] }, seal, longest);
  const fitted = new Float64Array(longest);
  const asideShare = new Float64Array(longest);
  let block = blocks[0];
  let shape: Shape;
  let coefficients: Float64Array | null;

  return {
    begin(b, atShape, under) {
      block = blocks[b];
      shape = atShape;
      coefficients = under;
    },
    readInto(out, places, live) {
      const place = here(shape, block.from, places, live.way);
      maker.takeUp(place);
      if (sums) {
        sums.forEach((weights, s) => maker.sumInto(out[s], weights, place));
        return;
      }
      for (const j of live.columns) {
        if (j < terms.length) maker.termColumn(terms[j], out[j], place);
        else if (j - terms.length === lag) lagInto(out[j], place, places, live);
        else if (j < terms.length + shapes.length)
          maker.derivativeInto(out[j], shapes[j - terms.length], place, coefficients!);
      }
    },
  };

  /** By the lag: minus what the terms add up to half a grid step aside, between the same points, less that here. */
  function lagInto(out: Float64Array, place: Place, { point, share, count }: Places, live: Live): void {
    for (let r = 0; r < count; r++) asideShare[r] = share[r] < 0.5 ? share[r] + 0.5 : share[r] - 0.5;
    maker.sumInto(fitted, coefficients!, place);
    const beyond = aside(shape, block.from, { point, share: asideShare, count }, live.way);
    maker.takeUp(beyond);
    maker.sumInto(out, coefficients!, beyond);
    for (let r = 0; r < count; r++)
      out[r] = (fitted[r] - out[r]) / ((asideShare[r] - share[r]) * grid.step_s);
  }
}

/** Reads motion and seal between grid points; a place holds until the next is read. */
function placeReader({ grid, span, features, terms, shapes }: FitProblem, seal: SealTrack, longest: number) {
  const column = () => new Float64Array(longest);
  const points = {
    position_m: column(),
    along: column(),
    velocity_m_per_s: column(),
    acceleration_m_per_s2: column(),
    warmth: column(),
    travel_m: features.travel_m && column(),
    atCeiling: features.atCeiling && column(),
  };
  const track = sealTrack(longest);

  return (shape: Shape, from: number, { point, share, count: n }: Places, way: number): Place => {
    const read = (out: Float64Array | null, of: Float64Array | null, base: number) => {
      if (!out || !of) return;
      for (let r = 0; r < n; r++) {
        const k = base + point[r];
        out[r] = of[k] + share[r] * (of[k + 1] - of[k]);
      }
    };
    read(points.position_m, grid.position_m, from);
    read(points.velocity_m_per_s, grid.velocity_m_per_s, from);
    if (terms.includes('mass')) read(points.acceleration_m_per_s2, grid.acceleration_m_per_s2, from);
    if (terms.includes('thinning')) read(points.warmth, grid.warmth, from);
    read(points.travel_m, features.travel_m, from);
    read(points.atCeiling, features.atCeiling, from);
    alongInto(points.along, points.position_m, n, span);
    if (way !== 0) track.state.fill(way, 0, n);
    else read(track.state, seal.state, 0);
    if (way === 0 && shapes.length > 0) {
      read(track.byPresliding, seal.byPresliding, 0);
      read(track.byExcess, seal.byExcess, 0);
      read(track.byStribeckSpeed, seal.byStribeckSpeed, 0);
      read(track.byStart, seal.byStart, 0);
    }
    return { points, seal: track, shape, n, kept: null };
  };
}
