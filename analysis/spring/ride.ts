import { scaleEstimate } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';

/** A spring on the shelf; the rate measured or printed. */
export interface ShelfSpring {
  readonly label: string;
  readonly rate_N_per_m: number;
}

export interface RideSpring {
  /** Rate that keeps the natural frequency, N/m. */
  readonly wanted_N_per_m: Estimate;
  /** Shelf by nearness of the frequency, with its change against the former one in per cent. */
  readonly shelf: readonly { readonly spring: ShelfSpring; readonly frequencyChange_percent: number }[];
}

export type RideOutcome =
  | { readonly ok: true; readonly ride: RideSpring }
  | { readonly ok: false; readonly refusal: Refusal<'bad-mass'> };

/**
 * The spring that keeps the ride frequency when the mass on it changes, as with a heavier pack.
 * @param rate_N_per_m of the present spring
 * @param before_kg, after_kg sprung mass on that corner, without wheel and axle
 * @returns rate in proportion to mass, since f = √(k/m)/2π; static sag then stays the same too
 */
export function springForMass(
  rate_N_per_m: Estimate,
  before_kg: number,
  after_kg: number,
  shelf: readonly ShelfSpring[] = [],
): RideOutcome {
  if (!(before_kg > 0 && after_kg > 0))
    return {
      ok: false,
      refusal: {
        code: 'bad-mass',
        found: `${before_kg} kg before and ${after_kg} kg after`,
        wanted: 'masses above 0',
      },
    };
  const factor = after_kg / before_kg;
  const wanted = scaleEstimate(rate_N_per_m, factor);
  const change = (spring: ShelfSpring) => 100 * (Math.sqrt(spring.rate_N_per_m / wanted.value) - 1);
  return {
    ok: true,
    ride: {
      wanted_N_per_m: wanted,
      shelf: shelf
        .map((spring) => ({ spring, frequencyChange_percent: change(spring) }))
        .sort((a, b) => Math.abs(a.frequencyChange_percent) - Math.abs(b.frequencyChange_percent)),
    },
  };
}
