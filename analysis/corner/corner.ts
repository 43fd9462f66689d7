import type { ForceCurve } from '../curves/force-curve.js';
import type { Refusal } from '../refusal.js';

/** One wheel of a vehicle with what carries and damps it. Lengths and forces at the shock unless they say wheel. */
export interface Corner {
  readonly label: string;
  /** Mass that this corner's spring carries. */
  readonly sprung_kg: number;
  /** Wheel, tyre and this corner's share of the axle; counts only together with a tyre rate. */
  readonly unsprung_kg: number;
  /** Shock travel over wheel travel at full extension: 1 for a shock upright on the axle. */
  readonly motionRatio: number;
  /** Change of the motion ratio per metre of wheel travel. */
  readonly motionRatioSlope_per_m: number;
  readonly spring_N_per_m: number;
  /** Of spring and gas at full extension. */
  readonly preload_N: number;
  /** Null for a tyre that is taken as rigid. */
  readonly tyre_N_per_m: number | null;
  /** Usable travel of the shock. */
  readonly travel_m: number;
  /** Damping alone, as measured. */
  readonly damping: ForceCurve;
  readonly drag_N: { readonly compression: number; readonly rebound: number };
}

export type CornerRefusal = Refusal<'bad-corner' | 'tyre-without-wheel'> & { readonly field: keyof Corner };

/** Standard gravity, m/s². Source: CGPM 1901, NIST SP 811 */
export const gravity_m_per_s2 = 9.806_65;

const largestRatio = 3;

/** Why a corner cannot be as described, or null. */
export function refuseCorner(corner: Corner): CornerRefusal | null {
  const refuse = (field: keyof Corner, found: unknown, wanted: string): CornerRefusal => ({
    code: 'bad-corner',
    field,
    found: `${field} of ${found}`,
    wanted,
  });
  const above0 = ['sprung_kg', 'motionRatio', 'spring_N_per_m', 'travel_m'] as const;
  for (const field of above0)
    if (!(Number.isFinite(corner[field]) && corner[field] > 0))
      return refuse(field, corner[field], 'above 0');
  if (corner.motionRatio > largestRatio)
    return refuse(
      'motionRatio',
      corner.motionRatio,
      `shock travel over wheel travel, at most ${largestRatio}`,
    );
  for (const field of ['unsprung_kg', 'preload_N'] as const)
    if (!(Number.isFinite(corner[field]) && corner[field] >= 0))
      return refuse(field, corner[field], '0 or more');
  if (
    !Number.isFinite(corner.motionRatioSlope_per_m) ||
    !(ratioAt(corner, corner.travel_m / corner.motionRatio) > 0)
  )
    return refuse(
      'motionRatioSlope_per_m',
      corner.motionRatioSlope_per_m,
      'a motion ratio that stays above 0',
    );
  const { tyre_N_per_m, unsprung_kg, drag_N, damping } = corner;
  if (tyre_N_per_m !== null && !(tyre_N_per_m > 0)) return refuse('tyre_N_per_m', tyre_N_per_m, 'above 0');
  if (tyre_N_per_m !== null && unsprung_kg === 0)
    return {
      code: 'tyre-without-wheel',
      field: 'unsprung_kg',
      found: 'a tyre rate and no unsprung mass',
      wanted: 'the mass of wheel and axle, or a tyre taken as rigid',
    };
  if (!(drag_N.compression >= 0 && drag_N.rebound >= 0))
    return refuse('drag_N', `${drag_N.compression} and ${drag_N.rebound}`, 'magnitudes of 0 or more');
  if (damping.kind !== 'damping')
    return refuse('damping', 'total force', 'damping alone: drag is given beside it');
  return null;
}

/** Motion ratio at a wheel travel from full extension. */
export const ratioAt = ({ motionRatio, motionRatioSlope_per_m }: Corner, wheel_m: number): number =>
  motionRatio + motionRatioSlope_per_m * wheel_m;

/** Shock travel at a wheel travel: the motion ratio summed up. */
export const shockTravel_m = ({ motionRatio, motionRatioSlope_per_m }: Corner, wheel_m: number): number =>
  motionRatio * wheel_m + (motionRatioSlope_per_m / 2) * wheel_m ** 2;

/** Wheel travel that uses a shock travel. */
export function wheelTravel_m({ motionRatio, motionRatioSlope_per_m }: Corner, shock_m: number): number {
  const root = Math.sqrt(Math.max(0, motionRatio ** 2 + 2 * motionRatioSlope_per_m * shock_m));
  return (2 * shock_m) / (motionRatio + root);
}

/** Force of the spring at the wheel. */
export const wheelSpring_N = (corner: Corner, wheel_m: number): number =>
  ratioAt(corner, wheel_m) * (corner.preload_N + corner.spring_N_per_m * shockTravel_m(corner, wheel_m));

/** Its rate: k·MR² and, where the ratio varies, the shock's force times the ratio's slope. */
export const wheelRate_N_per_m = (corner: Corner, wheel_m: number): number =>
  corner.spring_N_per_m * ratioAt(corner, wheel_m) ** 2 +
  corner.motionRatioSlope_per_m * (corner.preload_N + corner.spring_N_per_m * shockTravel_m(corner, wheel_m));
