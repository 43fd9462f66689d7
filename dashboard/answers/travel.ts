import {
  type EndContact,
  type Estimate,
  type FirstTouch,
  firstTouch,
  type InsideLengths,
  type RecordedSweepOutcome,
  recordedSweep,
  type SpacerRefusal,
  type Spacers,
  scaleEstimate,
  type Trace,
  withSpacers,
} from '../../analysis/index.js';

export interface TravelQuestion {
  readonly sweep: Trace;
  /** Where the vehicle stands, compression from full extension, and spacers to try. */
  readonly spacers?: Spacers & { readonly standing_m: number };
  /** Lengths inside the body by calipers. */
  readonly inside?: InsideLengths;
}

export interface Contact {
  /** In the recording's own coordinate. */
  readonly position_mm: Estimate;
  readonly kind: 'hard' | 'soft';
  readonly stiffness_N_per_mm: number;
}

export interface TravelAnswer {
  readonly travel_mm: Estimate;
  /** True where an end was not felt: the shock may have more travel than the sweep used. */
  readonly atLeast: boolean;
  /** Where the stop touches in compression. */
  readonly contact: Contact | null;
  /** What ends the travel at full extension. */
  readonly fullExtension: Contact | null;
  readonly from_mm: number;
  readonly to_mm: number;
  readonly spacers: {
    readonly underPiston_mm: number;
    readonly outside_mm: number;
    readonly standing_mm: number;
    readonly travel_mm: number;
    readonly down_mm: number;
    readonly up_mm: number;
    readonly shorter_mm: number;
  } | null;
  readonly firstTouch: { readonly first: FirstTouch; readonly margin_mm: number } | null;
}

export type TravelOutcome =
  | { readonly ok: true; readonly answer: TravelAnswer }
  | {
      readonly ok: false;
      readonly about: 'sweep' | 'spacers';
      readonly refusal: Extract<RecordedSweepOutcome, { ok: false }>['refusal'] | SpacerRefusal;
    };

/** Usable travel, what ends it, what spacers leave of it, and whether the piston meets the body before the stop. */
export function travelAnswer({ sweep, spacers, inside }: TravelQuestion): TravelOutcome {
  const swept = recordedSweep(sweep);
  if (!swept.ok) return { ok: false, about: 'sweep', refusal: swept.refusal };
  const { travel_m, atLeast, contact, fullExtension, from_m, to_m } = swept.travel;
  const spaced = spacers
    ? withSpacers({ travel_m: travel_m.value, standing_m: spacers.standing_m }, spacers)
    : null;
  if (spaced && !spaced.ok) return { ok: false, about: 'spacers', refusal: spaced.refusal };
  const touched = inside ? firstTouch(inside, travel_m.value) : null;
  return {
    ok: true,
    answer: {
      travel_mm: inMm(travel_m),
      atLeast,
      contact: contact && contactOf(contact),
      fullExtension: fullExtension && contactOf(fullExtension),
      from_mm: 1e3 * from_m,
      to_mm: 1e3 * to_m,
      spacers:
        spaced && spacers
          ? {
              underPiston_mm: 1e3 * spacers.underPiston_m,
              outside_mm: 1e3 * spacers.outside_m,
              standing_mm: 1e3 * spacers.standing_m,
              travel_mm: 1e3 * spaced.spaced.travel_m,
              down_mm: 1e3 * spaced.spaced.down_m,
              up_mm: 1e3 * spaced.spaced.up_m,
              shorter_mm: 1e3 * spaced.spaced.shorter_m,
            }
          : null,
      firstTouch: touched && { first: touched.first, margin_mm: 1e3 * touched.margin_m },
    },
  };
}

const contactOf = ({ position_m, kind, stiffness_N_per_m }: EndContact): Contact => ({
  position_mm: inMm(position_m),
  kind,
  stiffness_N_per_mm: 1e-3 * stiffness_N_per_m,
});

const inMm = (length_m: Estimate): Estimate => scaleEstimate(length_m, 1e3);
