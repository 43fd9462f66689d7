import { directions, type ForceCurve, fastestOf, sideOf } from './force-curve.js';

/** Below this share of the fastest speed a recording's curve says more about drag than about damping. */
const slowestShare = 0.1;

/**
 * Signed velocities at which two curves are held against each other, by increasing velocity.
 * @param target its own speeds are used; a recording's below a tenth of its fastest are left out, a person's never
 * @param other only speeds up to its fastest, and `beyond` times that, are used
 * @param fromShare share of the target's fastest speed to begin at, instead of those rules
 */
export function commonSpeeds(
  target: ForceCurve,
  other: ForceCurve,
  beyond = 1,
  fromShare?: number,
): number[] {
  return directions
    .flatMap((direction) => {
      const fastest = fastestOf(target, direction);
      const slowest = fastest * (fromShare ?? (target.origin === 'recording' ? slowestShare : 0));
      const reach = fastestOf(other, direction) * beyond * (1 + 1e-9);
      return sideOf(target, direction)
        .map(({ velocity_m_per_s }) => velocity_m_per_s)
        .filter((v) => Math.abs(v) >= slowest * (1 - 1e-9) && Math.abs(v) <= reach);
    })
    .sort((a, b) => a - b);
}
