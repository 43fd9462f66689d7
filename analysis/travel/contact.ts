import { dot } from '../numerics/linear.js';
/** Force over position of slow strokes, both ways, without the stretches after a reversal. */
export interface SweptForce {
  readonly position_m: Float64Array;
  readonly force_N: Float64Array;
  /** 1 into compression, −1 out of it. */
  readonly direction: Int8Array;
  readonly low_m: number;
  readonly high_m: number;
}

export type TravelEnd = 'compression' | 'extension';

/** Where something begins to touch near an end of the travel. */
export interface Touch {
  readonly end: TravelEnd;
  readonly position_m: number;
  readonly standardError_m: number;
  readonly degreesOfFreedom: number;
  /** At the deepest point that was reached. */
  readonly stiffness_N_per_m: number;
  /** 1: a rate of its own from the first touch; 2: one that builds up. */
  readonly power: 1 | 2;
}

/** A contact lies within this share of the travel from its end. */
const endShare = 0.45;
const steps = 48;
/** Below this, and below three times the rate before it, a rise is the gas or the spring. */
const leastStiffness_N_per_m = 800;
const againstBase = 3;
/** Share of what the smooth part leaves unexplained that a contact must explain. */
const believed = 0.25;
const fewestTouching = 4;
/** No stop begins as sharply as its model: seen as 0.01 mm in played sweeps into stops of every kind. */
const modelError_m = 8e-6;

/**
 * Looks for a contact at one end: a force that begins at some position on top of a smooth one.
 * @param known contact at the other end, if one was found, so that it does not bend the smooth part
 * @returns null where a smooth force explains the sweep as well
 * Numerical notes: the smooth part is a cubic of the position for each way, which takes up friction, gas, spring and
 *   slow damping; the contact is common to both ways. Its begin is searched by grid and golden section, for a sudden
 *   and for a growing rate, everything linear being projected out beforehand. The standard error allows for samples
 *   that scatter more inside the contact, where noise of the position is multiplied by its stiffness, and for a smooth
 *   part that is off by as much as the samples before the contact scatter.
 */
export function findTouch(swept: SweptForce, end: TravelEnd, known: Touch | null): Touch | null {
  const { low_m, high_m, position_m } = swept;
  const base = orthonormal([
    ...smoothColumns(swept),
    ...(known ? [touchColumn(swept, known.end, known.position_m, known.power)] : []),
  ]);
  const force = without(base, swept.force_N);
  const plainRss = dot(force, force);
  const travel = high_m - low_m;
  const place = (share: number) => (end === 'compression' ? high_m - share * travel : low_m + share * travel);
  const contactAt = (share: number, power: 1 | 2) => {
    const column = without(base, touchColumn(swept, end, place(share), power));
    const size = dot(column, column);
    const coefficient = size > 0 ? dot(column, force) / size : 0;
    return { column, coefficient, rss: plainRss - coefficient * coefficient * size };
  };
  const touching = (share: number) => {
    const from = place(share);
    return position_m.reduce((n, x) => n + ((end === 'compression' ? x > from : x < from) ? 1 : 0), 0);
  };
  const shares = Array.from({ length: steps }, (_, i) => endShare * ((i + 1) / steps) ** 2).filter(
    (share) => touching(share) >= fewestTouching,
  );
  if (shares.length < 3) return null;
  const { power, share } = ([1, 2] as const)
    .map((power) => {
      const rss = shares.map((share) => contactAt(share, power).rss);
      const k = rss.indexOf(Math.min(...rss));
      const [low, high] = [shares[Math.max(0, k - 1)], shares[Math.min(shares.length - 1, k + 1)]];
      const share = golden(low, high, (at) => contactAt(at, power).rss);
      return { power, share, rss: contactAt(share, power).rss };
    })
    .reduce((sudden, growing) => (growing.rss < 0.98 * sudden.rss ? growing : sudden));
  const { column, coefficient, rss } = contactAt(share, power);
  const stiffness_N_per_m = power === 1 ? coefficient : 2 * coefficient * share * travel;
  const least = Math.max(leastStiffness_N_per_m, againstBase * Math.abs(middleRate(swept)));
  if (!(stiffness_N_per_m > least && rss < (1 - believed) * plainRss)) return null;
  const depth = touchColumn(swept, end, place(share), power);
  const shift = without(
    base,
    depth.map((d) => (d === 0 ? 0 : coefficient * (power === 1 ? 1 : 2 * Math.sqrt(Math.abs(d))))),
  );
  const residual = force.map((f, i) => f - coefficient * column[i]);
  return {
    end,
    position_m: place(share),
    standardError_m: Math.hypot(
      robustError(column, shift, residual),
      smoothError_N(depth, residual) / stiffness_N_per_m,
      modelError_m,
    ),
    degreesOfFreedom: Math.max(1, touching(share) - 2),
    stiffness_N_per_m,
    power,
  };
}

/** 1, z, z², z³ for each way, z from −1 to 1 over the travel. */
function smoothColumns({ position_m, direction, low_m, high_m }: SweptForce): Float64Array[] {
  return [1, -1].flatMap((way) =>
    [0, 1, 2, 3].map((power) =>
      position_m.map((x, i) =>
        direction[i] === way ? ((2 * x - low_m - high_m) / (high_m - low_m)) ** power : 0,
      ),
    ),
  );
}

/** Depth of the contact to a power; pushes back in compression and pulls at full extension. */
function touchColumn({ position_m }: SweptForce, end: TravelEnd, from_m: number, power: 1 | 2): Float64Array {
  return end === 'compression'
    ? position_m.map((x) => Math.max(0, x - from_m) ** power)
    : position_m.map((x) => -(Math.max(0, from_m - x) ** power));
}

/** Rate over the middle third of the travel, mean of the ways, from the mean forces in its two halves. */
function middleRate({ position_m, force_N, direction, low_m, high_m }: SweptForce): number {
  const third = (high_m - low_m) / 3;
  const meanIn = (from: number, way: number) => {
    let [sum, n] = [0, 0];
    position_m.forEach((x, i) => {
      if (direction[i] !== way || x < from || x >= from + third / 2) return;
      sum += force_N[i];
      n++;
    });
    return sum / n;
  };
  const rates = [1, -1].map(
    (way) => (meanIn(low_m + 1.5 * third, way) - meanIn(low_m + third, way)) / (third / 2),
  );
  const known = rates.filter(Number.isFinite);
  return known.reduce((a, b) => a + b, 0) / known.length;
}

/** Root mean square residual of the samples outside the contact. */
function smoothError_N(depth: Float64Array, residual: Float64Array): number {
  const outside = residual.filter((_, i) => depth[i] === 0);
  return Math.sqrt(dot(outside, outside) / outside.length);
}

/** Standard error of the second of two coefficients, each sample's own residual standing for its variance (HC0). */
function robustError(first: Float64Array, second: Float64Array, residual: Float64Array): number {
  const overlap = dot(first, second) / dot(first, first);
  const own = second.map((value, i) => value - overlap * first[i]);
  const size = dot(own, own);
  return Math.sqrt(own.reduce((sum, value, i) => sum + (value * residual[i]) ** 2, 0)) / size;
}

/** Orthonormal columns of the same span, by modified Gram-Schmidt; dependent ones are left out. */
function orthonormal(columns: readonly Float64Array[]): Float64Array[] {
  const basis: Float64Array[] = [];
  for (const column of columns) {
    const rest = without(basis, without(basis, column));
    const length = Math.sqrt(dot(rest, rest));
    if (length > 1e-9 * Math.sqrt(dot(column, column))) basis.push(rest.map((value) => value / length));
  }
  return basis;
}

/** A column less its projection on orthonormal ones. */
function without(basis: readonly Float64Array[], column: Float64Array): Float64Array {
  const rest = column.slice();
  for (const direction of basis) {
    const along = dot(direction, rest);
    for (let i = 0; i < rest.length; i++) rest[i] -= along * direction[i];
  }
  return rest;
}

function golden(low: number, high: number, of: (x: number) => number): number {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [x, y] = [b - ratio * (b - a), a + ratio * (b - a)];
  let [fx, fy] = [of(x), of(y)];
  for (let i = 0; i < 24; i++)
    if (fx < fy) {
      [b, y, fy] = [y, x, fx];
      x = b - ratio * (b - a);
      fx = of(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + ratio * (b - a);
      fy = of(y);
    }
  return (a + b) / 2;
}
