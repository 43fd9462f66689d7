import { ColumnMaker, type Place } from './column-maker.js';
import { alongInto, type Points } from './columns.js';
import { converterWeights } from './converter-kernel.js';
import type { Live } from './live-columns.js';
import type { FitProblem, Shape } from './problem.js';
import { ColumnReader } from './read-columns.js';
import { type SealTrack, sealDerivatives, sealTrack } from './seal-memory.js';

/** Columns [terms | shapes], or sums of terms, of one block after the other. */
export interface BlockColumns {
  /** Takes up a block at a shape; the seal has been followed through it. */
  begin(b: number, shape: Shape, coefficients: Float64Array | null): void;
  /**
   * Values at some rows.
   * @param out one for each column or sum, `count` values or more each; those that are not live are left as they are
   */
  readInto(out: readonly Float64Array[], places: RowPlaces, live: Live): void;
}

/** Rows' places: point of the block's part of the grid and the share of a step beyond it. */
export interface RowPlaces {
  readonly point: Int32Array;
  readonly share: Float64Array;
  readonly count: number;
}

/** Columns made on the whole block, and read through the weights of a converter that averages. */
export class ColumnsOnGrid implements BlockColumns {
  readonly #problem: FitProblem;
  readonly #sums: readonly Float64Array[] | null;
  readonly #seal: SealTrack;
  readonly #maker: ColumnMaker;
  readonly #reader: ColumnReader;
  readonly #own: readonly Float64Array[];
  readonly #along: Float64Array;
  /** What the terms add up to, for the derivative by the lag. */
  readonly #fitted: Float64Array;
  /** Column of the derivative by the lag, −1 where there is none. */
  readonly #lag: number;
  #made: readonly Float64Array[];

  /** @param longest most points in a block */
  constructor(problem: FitProblem, sums: readonly Float64Array[] | null, seal: SealTrack, longest: number) {
    const { terms, shapes, width, averagings } = problem;
    this.#problem = problem;
    this.#sums = sums;
    this.#seal = seal;
    this.#maker = new ColumnMaker(problem, longest);
    this.#reader = new ColumnReader(converterWeights(width, averagings));
    const columns = sums ? sums.length : terms.length + shapes.length;
    this.#own = Array.from({ length: columns }, () => new Float64Array(longest));
    this.#along = new Float64Array(longest);
    this.#fitted = new Float64Array(longest);
    this.#lag = sums || !shapes.includes('lag') ? -1 : terms.length + shapes.indexOf('lag');
    this.#made = this.#own;
  }

  begin(b: number, shape: Shape, coefficients: Float64Array | null): void {
    const { terms, shapes, kept } = this.#problem;
    const maker = this.#maker;
    const own = this.#own;
    const points = this.#pointsOf(b);
    const n = points.along.length;
    const place: Place = { points, seal: this.#seal, shape, n, kept: kept?.[b] ?? null };
    maker.takeUp(place);
    if (this.#sums) {
      for (const [s, weights] of this.#sums.entries()) maker.sumInto(own[s], weights, place);
      return;
    }
    const columns = own.slice();
    for (const [j, term] of terms.entries()) columns[j] = maker.termColumn(term, own[j], place);
    for (const [j, name] of shapes.entries()) {
      if (name === 'lag') maker.sumInto(this.#fitted, coefficients!, place);
      else maker.derivativeInto(own[terms.length + j], name, place, coefficients!);
    }
    this.#made = columns;
  }

  #pointsOf(b: number): Points {
    const { grid, blocks, features, span } = this.#problem;
    const { from, end } = blocks[b];
    const position_m = grid.position_m.subarray(from, end + 1);
    const along = this.#along.subarray(0, position_m.length);
    alongInto(along, position_m, along.length, span);
    return {
      position_m,
      along,
      velocity_m_per_s: grid.velocity_m_per_s.subarray(from, end + 1),
      acceleration_m_per_s2: grid.acceleration_m_per_s2.subarray(from, end + 1),
      warmth: grid.warmth.subarray(from, end + 1),
      travel_m: features.travel_m?.subarray(from, end + 1) ?? null,
      atCeiling: features.atCeiling?.subarray(from, end + 1) ?? null,
    };
  }

  readInto(out: readonly Float64Array[], { point, share, count }: RowPlaces, live: Live): void {
    const made = this.#made;
    const read = live.columns.filter((j) => j < made.length && j !== this.#lag);
    this.#reader.valuesInto(
      read.map((j) => out[j]),
      read.map((j) => made[j]),
      point,
      share,
      count,
    );
    if (this.#lag < 0) return;
    const slope = out[this.#lag];
    this.#reader.slopesInto(slope, this.#fitted, point, count);
    scale(slope, -1 / this.#problem.grid.step_s, count);
  }
}

/** Columns made at the samples' own times, motion and seal read between grid points: for plain sampling. */
export class ColumnsAtSamples implements BlockColumns {
  readonly #problem: FitProblem;
  readonly #sums: readonly Float64Array[] | null;
  readonly #maker: ColumnMaker;
  readonly #here: PlaceReader;
  /** Half a grid step from the rows, between the same points. */
  readonly #aside: PlaceReader;
  readonly #asideShare: Float64Array;
  readonly #fitted: Float64Array;
  #from = 0;
  #shape: Shape | null = null;
  #coefficients: Float64Array | null = null;

  /** @param longest most rows read at once */
  constructor(problem: FitProblem, sums: readonly Float64Array[] | null, seal: SealTrack, longest: number) {
    this.#problem = problem;
    this.#sums = sums;
    this.#maker = new ColumnMaker(problem, longest);
    this.#here = new PlaceReader(problem, seal, longest, !sums && problem.shapes.length > 0);
    this.#aside = new PlaceReader(problem, seal, longest, false);
    this.#asideShare = new Float64Array(longest);
    this.#fitted = new Float64Array(longest);
  }

  begin(b: number, shape: Shape, coefficients: Float64Array | null): void {
    this.#from = this.#problem.blocks[b].from;
    this.#shape = shape;
    this.#coefficients = coefficients;
  }

  readInto(out: readonly Float64Array[], places: RowPlaces, live: Live): void {
    const { terms, shapes } = this.#problem;
    const maker = this.#maker;
    const place = this.#here.read(this.#shape!, this.#from, places, live.direction);
    maker.takeUp(place);
    if (this.#sums) {
      for (const [s, weights] of this.#sums.entries()) maker.sumInto(out[s], weights, place);
      return;
    }
    for (const j of live.columns) {
      if (j < terms.length) {
        maker.termColumn(terms[j], out[j], place);
        continue;
      }
      const name = shapes[j - terms.length];
      if (name === 'lag') this.#lagInto(out[j], place, places, live);
      else if (name) maker.derivativeInto(out[j], name, place, this.#coefficients!);
    }
  }

  /** By the lag: minus what the terms add up to half a grid step aside, between the same points, less that here. */
  #lagInto(out: Float64Array, place: Place, { point, share, count }: RowPlaces, live: Live): void {
    const asideShare = this.#asideShare;
    const fitted = this.#fitted;
    const maker = this.#maker;
    for (let r = 0; r < count; r++) asideShare[r] = share[r] < 0.5 ? share[r] + 0.5 : share[r] - 0.5;
    maker.sumInto(fitted, this.#coefficients!, place);
    const beyond = this.#aside.read(
      this.#shape!,
      this.#from,
      { point, share: asideShare, count },
      live.direction,
    );
    maker.takeUp(beyond);
    maker.sumInto(out, this.#coefficients!, beyond);
    const { step_s } = this.#problem.grid;
    for (let r = 0; r < count; r++) out[r] = (fitted[r] - out[r]) / ((asideShare[r] - share[r]) * step_s);
  }
}

/** Reads motion and seal between grid points; a place holds until the next is read. */
class PlaceReader {
  readonly #problem: FitProblem;
  readonly #seal: SealTrack;
  readonly #derivatives: boolean;
  readonly #points: Points;
  readonly #track: SealTrack;

  /** @param derivatives whether the seal's are read too */
  constructor(problem: FitProblem, seal: SealTrack, longest: number, derivatives: boolean) {
    const { travel_m, atCeiling } = problem.features;
    this.#problem = problem;
    this.#seal = seal;
    this.#derivatives = derivatives;
    this.#points = {
      position_m: new Float64Array(longest),
      along: new Float64Array(longest),
      velocity_m_per_s: new Float64Array(longest),
      acceleration_m_per_s2: new Float64Array(longest),
      warmth: new Float64Array(longest),
      travel_m: travel_m && new Float64Array(longest),
      atCeiling: atCeiling && new Float64Array(longest),
    };
    this.#track = sealTrack(longest);
  }

  read(shape: Shape, from: number, places: RowPlaces, direction: number): Place {
    const { grid, span, features, terms } = this.#problem;
    const points = this.#points;
    const seal = this.#seal;
    const track = this.#track;
    const n = places.count;
    readBetween(points.position_m, grid.position_m, from, places);
    alongInto(points.along, points.position_m, n, span);
    readBetween(points.velocity_m_per_s, grid.velocity_m_per_s, from, places);
    if (terms.includes('mass'))
      readBetween(points.acceleration_m_per_s2, grid.acceleration_m_per_s2, from, places);
    if (terms.includes('thinning')) readBetween(points.warmth, grid.warmth, from, places);
    if (features.travel_m) readBetween(points.travel_m!, features.travel_m, from, places);
    if (features.atCeiling) readBetween(points.atCeiling!, features.atCeiling, from, places);
    if (direction !== 0) track.state.fill(direction, 0, n);
    else {
      readBetween(track.state, seal.state, 0, places);
      if (this.#derivatives)
        for (const by of Object.values(sealDerivatives)) readBetween(track[by], seal[by], 0, places);
    }
    return { points, seal: track, shape, n, kept: null };
  }
}

function readBetween(
  out: Float64Array,
  column: Float64Array,
  base: number,
  { point, share, count }: RowPlaces,
): void {
  for (let r = 0; r < count; r++) {
    const k = base + point[r];
    out[r] = column[k] + share[r] * (column[k + 1] - column[k]);
  }
}

function scale(values: Float64Array, by: number, n: number): void {
  for (let k = 0; k < n; k++) values[k] *= by;
}
