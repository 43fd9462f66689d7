import { directions, type ForceCurve, fastestOf } from '../curves/force-curve.js';
import { twoTerms } from '../curves/two-terms.js';

/**
 * Share of the damping force that goes with viscosity, mean of the directions.
 * @param at curve whose fastest speeds count; the damping curve's own where nothing is said
 * @returns 0 to 1; the rest goes with density and holes, which oil of another thickness leaves as they are
 */
export function viscousShare(damping: ForceCurve, at: ForceCurve = damping): number {
  const shares = directions.flatMap((direction) => {
    const terms = twoTerms(damping, direction);
    const speed = fastestOf(at, direction);
    if (!terms || speed === 0) return [];
    const { linear_Ns_per_m, quadratic_Ns2_per_m2 } = terms;
    return [Math.min(1, Math.max(0, linear_Ns_per_m / (linear_Ns_per_m + quadratic_Ns2_per_m2 * speed)))];
  });
  return shares.length > 0 ? shares.reduce((a, b) => a + b, 0) / shares.length : Number.NaN;
}
