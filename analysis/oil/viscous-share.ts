import { directions, type ForceCurve } from '../curves/force-curve.js';
import { twoTerms } from '../curves/two-terms.js';

/**
 * Share of the damping force at a curve's fastest speed that goes with viscosity, mean of the directions.
 * @returns 0 to 1; the rest goes with density and holes, which oil of another thickness leaves as they are
 */
export function viscousShare(curve: ForceCurve): number {
  const shares = directions.flatMap((direction) => {
    const terms = twoTerms(curve, direction);
    if (!terms) return [];
    const { linear_Ns_per_m, quadratic_Ns2_per_m2, fastest_m_per_s } = terms;
    const share = linear_Ns_per_m / (linear_Ns_per_m + quadratic_Ns2_per_m2 * fastest_m_per_s);
    return [Math.min(1, Math.max(0, share))];
  });
  return shares.length > 0 ? shares.reduce((a, b) => a + b, 0) / shares.length : Number.NaN;
}
