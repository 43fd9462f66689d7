import type { Direction } from '../curves/force-curve.js';
import { directionOf } from '../curves/force-curve.js';
import type { Refusal } from '../refusal.js';

/** How far from the target is still good, over a range of speeds. */
export interface Tolerance {
  readonly direction: Direction | 'both';
  readonly from_m_per_s: number;
  readonly to_m_per_s: number;
  /** Share of the target's force, in per cent, and a force; the larger of the two is allowed. */
  readonly percent: number;
  readonly force_N: number;
}

export type ToleranceRefusal = Refusal<'bad-tolerance'>;

/** One tolerance for all speeds and both directions. */
export function everywhere(percent: number, force_N = 0): Tolerance[] {
  return [{ direction: 'both', from_m_per_s: 0, to_m_per_s: Number.POSITIVE_INFINITY, percent, force_N }];
}

/** Why a list of tolerances makes no sense, or null. */
export function refuseTolerances(tolerances: readonly Tolerance[]): ToleranceRefusal | null {
  const refuse = (found: string, wanted: string): ToleranceRefusal => ({
    code: 'bad-tolerance',
    found,
    wanted,
  });
  if (tolerances.length === 0) return refuse('no tolerance', 'at least one');
  for (const { from_m_per_s, to_m_per_s, percent, force_N } of tolerances) {
    if (!(percent >= 0 && force_N >= 0 && percent + force_N > 0))
      return refuse(`${percent} % and ${force_N} N`, 'neither negative, not both zero');
    if (!(from_m_per_s >= 0 && to_m_per_s > from_m_per_s))
      return refuse(`from ${from_m_per_s} to ${to_m_per_s} m/s`, 'rising speeds from 0 on');
  }
  return null;
}

/**
 * Deviation that is allowed at a velocity, N.
 * @param tolerances the first that covers the velocity counts
 * @returns null where none does: no demand is made there
 */
export function allowed_N(
  tolerances: readonly Tolerance[],
  velocity_m_per_s: number,
  target_N: number,
): number | null {
  const speed = Math.abs(velocity_m_per_s);
  const direction = directionOf(velocity_m_per_s);
  const covering = tolerances.find(
    (tolerance) =>
      (tolerance.direction === 'both' || tolerance.direction === direction) &&
      speed >= tolerance.from_m_per_s &&
      speed <= tolerance.to_m_per_s,
  );
  return covering ? Math.max((covering.percent / 100) * Math.abs(target_N), covering.force_N) : null;
}
