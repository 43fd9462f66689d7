import type { Refusal } from '../refusal.js';

/** Travel of a mounted shock, split at where it stands with the vehicle at rest. */
export interface StandingTravel {
  /** Whole usable travel of the shock, m. */
  readonly travel_m: number;
  /** Compression from full extension at rest, m: how far the wheel can still drop, at the shock. */
  readonly standing_m: number;
}

export interface Spacers {
  /** On the shaft between piston and seal: the shock no longer extends fully. */
  readonly underPiston_m: number;
  /** On the shaft outside the body: the stop touches earlier. */
  readonly outside_m: number;
}

export interface SpacedTravel {
  readonly travel_m: number;
  /** Drop left from where the vehicle stands, at the shock; 0 where the spacer holds it up already. */
  readonly down_m: number;
  readonly up_m: number;
  /** How much shorter the shock is at full extension. */
  readonly shorter_m: number;
}

export type SpacerRefusal = Refusal<'bad-length' | 'no-travel-left'>;
export type SpacerOutcome =
  | { readonly ok: true; readonly spaced: SpacedTravel }
  | { readonly ok: false; readonly refusal: SpacerRefusal };

/**
 * What spacers do to the travel. One under the piston takes its own length from the way down and leaves the way up;
 * the vehicle stands as before as long as its spring carries it.
 */
export function withSpacers({ travel_m, standing_m }: StandingTravel, spacers: Spacers): SpacerOutcome {
  const { underPiston_m, outside_m } = spacers;
  const lengths = { travel_m, standing_m, underPiston_m, outside_m };
  for (const [name, length] of Object.entries(lengths))
    if (!(Number.isFinite(length) && length >= 0))
      return refuse('bad-length', `${name} of ${length}`, 'a length of 0 or more');
  if (standing_m > travel_m)
    return refuse('bad-length', `standing at ${mm(standing_m)} of ${mm(travel_m)} mm`, 'within the travel');
  const left = travel_m - underPiston_m - outside_m;
  if (left <= 0)
    return refuse(
      'no-travel-left',
      `${mm(underPiston_m + outside_m)} mm of spacers`,
      `less than ${mm(travel_m)} mm`,
    );
  const standing = Math.max(standing_m, underPiston_m);
  return {
    ok: true,
    spaced: {
      travel_m: left,
      down_m: standing - underPiston_m,
      up_m: Math.max(0, travel_m - outside_m - standing),
      shorter_m: underPiston_m,
    },
  };
}

/** What is inside the body along the shaft's way, by calipers. */
export interface InsideLengths {
  /** From the seal's seat to what ends the piston's way: the body's step, the cap, or the bladder's rim. */
  readonly inside_m: number;
  readonly pistonThickness_m: number;
  /** Nut or screw above the piston. */
  readonly nut_m: number;
  readonly underPiston_m: number;
}

export type FirstTouch = 'stop' | 'piston' | 'both';

/** Standard uncertainty of such a stack of lengths by calipers; common practice, no source. */
const stack_m = 0.1e-3;

/**
 * Whether the piston meets the body before the stop touches.
 * @param stopTravel_m shaft travel from full extension at which the stop touches, by design or from a travel sweep
 * @returns what touches first, `both` where calipers cannot tell; a stop should, because the piston has no padding
 */
export function firstTouch(
  lengths: InsideLengths,
  stopTravel_m: number,
): { first: FirstTouch; margin_m: number } {
  const { inside_m, pistonThickness_m, nut_m, underPiston_m } = lengths;
  const margin_m = inside_m - pistonThickness_m - nut_m - underPiston_m - stopTravel_m;
  const first = Math.abs(margin_m) < 2 * stack_m ? 'both' : margin_m > 0 ? 'stop' : 'piston';
  return { first, margin_m };
}

const mm = (length_m: number): string => (1e3 * length_m).toFixed(2);

const refuse = (code: SpacerRefusal['code'], found: string, wanted: string): SpacerOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});
