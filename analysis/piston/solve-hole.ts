import type { BlankPoint } from './blank.js';
import { type HoleChange, type Piston, refusePiston, withHoles } from './piston.js';
import { predictedForce_N } from './predict.js';

/** A target as forces at signed velocities. */
export interface WantedForces {
  readonly velocities_m_per_s: readonly number[];
  readonly forces_N: readonly number[];
}

/** Diameter of the largest hole that the change leaves room for. */
export function largestHole_m(piston: Piston, change: HoleChange): number {
  let low = 0;
  let high = piston.bore_m;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (refusePiston(withHoles(piston, change, middle))) high = middle;
    else low = middle;
  }
  return low;
}

/**
 * The diameter at which a piston damps as wanted on the average: where the mean relative deviation over all wanted
 * velocities is zero, both directions weighing alike.
 * @param largest_m upper end of the search
 * @returns the diameter in m, or null where not even the largest hole, or none, is enough
 * Numerical notes: larger holes damp less at every speed, so that there is one zero at most; found by bisection.
 */
export function solveHole_m(
  basis: { readonly piston: Piston; readonly change: HoleChange; readonly density_kg_per_m3: number },
  point: BlankPoint,
  wanted: WantedForces,
  largest_m: number,
): number | null {
  const { velocities_m_per_s, forces_N } = wanted;
  const sides = [1, -1].map((sign) => velocities_m_per_s.filter((v) => v * sign > 0).length);
  const excess = (hole_m: number) => {
    const force = predictedForce_N(basis, point, hole_m);
    return velocities_m_per_s.reduce(
      (sum, v, i) => sum + (force(v) / forces_N[i] - 1) / sides[v > 0 ? 0 : 1],
      0,
    );
  };
  let low = 0.05 * largest_m;
  let high = largest_m;
  if (excess(low) < 0 || excess(high) > 0) return null;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (excess(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
