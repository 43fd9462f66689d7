import type { ForceCurve } from '../curves/force-curve.js';
import { directionOf } from '../curves/force-curve.js';
import { type TwoTerms, twoTerms } from '../curves/two-terms.js';
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
 *   compression ceiling stays where it is. Seal drag that grows with speed is taken for damping and scaled too.
 * Source: Reynolds similarity, any fluid mechanics text
 */
export function inOtherOil(curve: ForceCurve, change: OilChange): ForceCurve {
  const { viscosityRatio: r, densityRatio: d, uncertainty = 0 } = change;
  const terms =
    uncertainty > 0
      ? { compression: twoTerms(curve, 'compression'), rebound: twoTerms(curve, 'rebound') }
      : null;
  const free = curve.points.filter(
    ({ force_N }) => curve.ceiling_N === null || force_N < 0.9 * curve.ceiling_N,
  );
  const points = free.map((point) => {
    const velocity_m_per_s = point.velocity_m_per_s * r;
    const scale = d * r * r;
    const viscous = d * r * linearPart(terms?.[directionOf(velocity_m_per_s)], velocity_m_per_s);
    const standardError_N = Math.hypot(point.standardError_N * scale, uncertainty * viscous);
    return curvePointOf(
      velocity_m_per_s,
      estimateOf(point.force_N * scale, standardError_N, curve.degreesOfFreedom),
    );
  });
  return { ...curve, points };
}

const linearPart = (terms: TwoTerms | null | undefined, velocity_m_per_s: number): number =>
  terms ? terms.linear_Ns_per_m * Math.abs(velocity_m_per_s) : 0;

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
