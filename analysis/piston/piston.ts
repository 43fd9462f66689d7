import type { Refusal } from '../refusal.js';

/** Holes of one size. */
export interface HoleGroup {
  readonly count: number;
  readonly diameter_m: number;
}

/** A shock's piston as calipers see it. */
export interface Piston {
  readonly bore_m: number;
  readonly shaft_m: number;
  readonly thickness_m: number;
  readonly holes: readonly HoleGroup[];
  /** Radial clearance to the bore, or null where it was not measured. */
  readonly gap_m: number | null;
  /** Depth to which holes are countersunk, both faces added; 0 for sharp edges. */
  readonly countersunk_m: number;
}

export type PistonField = keyof Piston;
export type PistonRefusal = Refusal<'bad-piston' | 'holes-do-not-fit' | 'holes-overlap' | 'gap-too-wide'> & {
  readonly field: PistonField;
};

/** Wider gaps than this share of the bore radius are no narrow slot any more. */
const narrowGap = 0.1;

/**
 * Why a piston cannot be as described, or null.
 * Holes are refused only where no arrangement on one ring could hold them: the ring is as wide as the gap and the
 * largest hole allow.
 */
export function refusePiston(piston: Piston): PistonRefusal | null {
  const { bore_m, shaft_m, thickness_m, holes, countersunk_m } = piston;
  const refuse = (
    code: PistonRefusal['code'],
    field: PistonField,
    found: string,
    wanted: string,
  ): PistonRefusal => ({ code, field, found, wanted });
  const bad = (field: PistonField, value: number, wanted: string) =>
    refuse('bad-piston', field, `${mm(value)} mm`, wanted);
  if (!positive(bore_m)) return bad('bore_m', bore_m, 'a bore above 0 mm');
  if (!positive(shaft_m) || shaft_m >= bore_m)
    return bad('shaft_m', shaft_m, `a shaft above 0 and below the bore of ${mm(bore_m)} mm`);
  if (!positive(thickness_m)) return bad('thickness_m', thickness_m, 'a thickness above 0 mm');
  if (!(countersunk_m >= 0 && countersunk_m < thickness_m))
    return bad('countersunk_m', countersunk_m, `from 0 to below the thickness of ${mm(thickness_m)} mm`);
  if (holes.length === 0) return refuse('bad-piston', 'holes', 'no holes', 'at least one');
  for (const { count, diameter_m } of holes) {
    if (!Number.isInteger(count) || count < 1)
      return refuse('bad-piston', 'holes', `${count} holes`, 'a whole number from 1');
    if (!positive(diameter_m)) return bad('holes', diameter_m, 'holes above 0 mm');
  }
  return refuseFit(piston, refuse);
}

function refuseFit(
  piston: Piston,
  refuse: (code: PistonRefusal['code'], field: PistonField, found: string, wanted: string) => PistonRefusal,
): PistonRefusal | null {
  const { bore_m, shaft_m, holes } = piston;
  const gap_m = piston.gap_m ?? 0;
  if (piston.gap_m !== null && !(gap_m > 0 && gap_m < (narrowGap * bore_m) / 2))
    return refuse(
      gap_m > 0 ? 'gap-too-wide' : 'bad-piston',
      'gap_m',
      `a gap of ${mm(gap_m)} mm`,
      `above 0 and below ${mm((narrowGap * bore_m) / 2)} mm, a tenth of the bore's radius`,
    );
  const largest = Math.max(...holes.map(({ diameter_m }) => diameter_m));
  const ring_m = (bore_m - shaft_m) / 2 - gap_m;
  if (largest >= ring_m)
    return refuse(
      'holes-do-not-fit',
      'holes',
      `a hole of ${mm(largest)} mm`,
      `less than the ${mm(ring_m)} mm between shaft and rim`,
    );
  const pitchRadius_m = bore_m / 2 - gap_m - largest / 2;
  const room = holes.reduce(
    (sum, { count, diameter_m }) => sum + 2 * count * Math.asin(diameter_m / 2 / pitchRadius_m),
    0,
  );
  if (room >= 2 * Math.PI)
    return refuse(
      'holes-overlap',
      'holes',
      `holes that take ${Math.ceil((100 * room) / (2 * Math.PI))} % of the widest ring`,
      'below 100 %, with walls between them',
    );
  return null;
}

/** What is done to the holes; sizes only grow under a drill. */
export type HoleChange =
  | { readonly kind: 'all' }
  /** That many of the smallest holes. */
  | { readonly kind: 'some'; readonly count: number }
  | { readonly kind: 'add'; readonly count: number };

/** The piston with the changed holes at a diameter. */
export function withHoles(piston: Piston, change: HoleChange, diameter_m: number): Piston {
  if (change.kind === 'add')
    return { ...piston, holes: [...piston.holes, { count: change.count, diameter_m }] };
  let left = change.kind === 'all' ? Number.POSITIVE_INFINITY : change.count;
  const holes = [...piston.holes]
    .sort((a, b) => a.diameter_m - b.diameter_m)
    .flatMap((group) => {
      const changed = Math.min(left, group.count);
      left -= changed;
      return [
        { count: changed, diameter_m },
        { count: group.count - changed, diameter_m: group.diameter_m },
      ].filter(({ count }) => count > 0);
    });
  return { ...piston, holes };
}

/** Diameter of the largest hole that a change touches: the drill must be larger. Zero for added holes. */
export function presentHole_m(piston: Piston, change: HoleChange): number {
  if (change.kind === 'add') return 0;
  let left = change.kind === 'all' ? Number.POSITIVE_INFINITY : change.count;
  let largest = 0;
  for (const { count, diameter_m } of [...piston.holes].sort((a, b) => a.diameter_m - b.diameter_m)) {
    if (left > 0) largest = diameter_m;
    left -= count;
  }
  return largest;
}

/** Area between bore and shaft, m²: what drives oil through the piston. */
export const annulus_m2 = ({ bore_m, shaft_m }: Piston): number =>
  (Math.PI / 4) * (bore_m ** 2 - shaft_m ** 2);

/** Standard atmosphere, Pa. Source: NIST SP 811 */
export const atmosphere_Pa = 101_325;

/**
 * Most damping in compression: the oil on the shaft side can only be pulled along by the pressure on the cap side.
 * @param gas_Pa absolute pressure in the cap; an upper bound, since dissolved gas comes out earlier
 */
export const compressionCeiling_N = (piston: Piston, gas_Pa = atmosphere_Pa): number =>
  gas_Pa * annulus_m2(piston);

const positive = (value: number): boolean => Number.isFinite(value) && value > 0;
const mm = (value_m: number): string => `${Math.round(value_m * 1e6) / 1e3}`;
