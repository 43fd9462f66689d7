import type { ForceCurve } from '../curves/force-curve.js';
import { directionOf } from '../curves/force-curve.js';
import { atCeiling, type TwoTerms, twoTerms } from '../curves/two-terms.js';
import { curvePointOf, estimateOf } from '../estimate.js';
import { densityOf_kg_per_m3, type Oil, thinning } from './oil.js';

/** Share of a temperature correction taken as its standard uncertainty: oils differ from the relation used. */
export const thinningUncertainty = 0.15;

export interface OilChange {
  /** Kinematic viscosity after over before, each at its own temperature. */
  readonly viscosityRatio: number;
  readonly densityRatio: number;
  /** Relative standard uncertainty of the viscosity ratio; widens the band. */
  readonly uncertainty?: number;
}

/**
 * The damping of the same piston in another oil.
 * @param curve damping
 * @param change of viscosity and density
 * @returns the curve over the speeds that the measured ones become: thicker oil moves them up, thinner oil down
 * Numerical notes: with ν the kinematic viscosity and ρ the density, dimensions alone leave F = ρ·ν²·Φ(v/ν) for one
 *   geometry, whatever the losses; so each point moves exactly, force by ρ·ν² and velocity by ν, and nothing is
 *   fitted. For a·v + b·v² it is the familiar rule: the linear part goes with ρ·ν, the quadratic with ρ. The
 *   compression ceiling stays where it is: what a point at it would have been without, its direction's two terms say.
 *   Seal drag that grows with speed is taken for damping and scaled too.
 * Source: Reynolds similarity, any fluid mechanics text
 */
export function inOtherOil(curve: ForceCurve, change: OilChange): ForceCurve {
  const { viscosityRatio: r, densityRatio: d, uncertainty = 0 } = change;
  const { ceiling_N } = curve;
  const terms =
    uncertainty > 0 || ceiling_N !== null
      ? { compression: twoTerms(curve, 'compression'), rebound: twoTerms(curve, 'rebound') }
      : null;
  const points = curve.points.map((point) => {
    const of = terms?.[directionOf(point.velocity_m_per_s)];
    const speed = Math.abs(point.velocity_m_per_s);
    const scale = d * r * r;
    const force_N = atCeiling(curve, point)
      ? Math.min(ceiling_N!, scale * Math.max(point.force_N, of ? termsForce_N(of, speed) : 0))
      : scale * point.force_N;
    const viscous = scale * (of?.linear_Ns_per_m ?? 0) * speed;
    const standardError_N = Math.hypot(point.standardError_N * scale, uncertainty * viscous);
    return curvePointOf(
      point.velocity_m_per_s * r,
      estimateOf(force_N, standardError_N, curve.degreesOfFreedom),
    );
  });
  return { ...curve, points };
}

const termsForce_N = ({ linear_Ns_per_m, quadratic_Ns2_per_m2 }: TwoTerms, speed_m_per_s: number): number =>
  linear_Ns_per_m * speed_m_per_s + quadratic_Ns2_per_m2 * speed_m_per_s ** 2;

/**
 * A damping curve brought to another oil temperature, its band widened by the correction's uncertainty.
 * @param oil whose thinning counts; silicone where it is not known
 * @returns the curve as it is where either temperature is not known
 */
export function broughtTo(
  curve: ForceCurve,
  temperature_degC: number | null,
  oil: Oil | null = null,
): ForceCurve {
  const from = curve.temperature_degC;
  if (temperature_degC === null || from === null || from === temperature_degC) return curve;
  const viscosityRatio = thinning(oil, temperature_degC) / thinning(oil, from);
  const densityRatio = oil ? densityOf_kg_per_m3(oil, temperature_degC) / densityOf_kg_per_m3(oil, from) : 1;
  const uncertainty = thinningUncertainty * Math.abs(Math.log(viscosityRatio));
  return { ...inOtherOil(curve, { viscosityRatio, densityRatio, uncertainty }), temperature_degC };
}
