import { density_kg_per_m3, viscosity_m2_per_s } from './oil.js';
import type { SimulatedOil, SimulatedPiston } from './shock-parameters.js';

/**
 * Resistance of a piston at one oil temperature. Holes: drop = laminar·Q + loss·Q². Gap: Q = gap·drop + gapDrag·v.
 */
export interface PistonFlow {
  readonly laminar_Pa_s_per_m3: number;
  readonly lossCompression_Pa_s2_per_m6: number;
  readonly lossRebound_Pa_s2_per_m6: number;
  readonly gap_m3_per_s_Pa: number;
  /** Oil that the bore wall drags through the gap, per speed; also the area by which the gap takes load off the piston. */
  readonly gapDrag_m2: number;
  /** Shear of the gap on the piston's side, N·s/m. */
  readonly gapShear_Ns_per_m: number;
}

/**
 * Derives the resistance of a piston from its dimensions and the oil in it.
 * @param piston holes, thickness, clearance
 * @param bore_m bore of the body
 * @param oil oil in it
 * @param temperature_degC oil temperature
 * @returns coefficients in SI units, all per whole piston
 * Notes: Reynolds numbers in the holes stay below a few hundred, so laminar flow holds throughout.
 * Source: Hagen–Poiseuille with the creeping-flow end correction 3π·d/16 (R. A. Sampson 1891, H. L. Weissberg 1962);
 *   annulus π·D·h³·Δp/(12·µ·L)·(1 + 1.5ε²) as in H. E. Merritt, Hydraulic Control Systems (1967), from memory.
 */
export function pistonFlow(
  piston: SimulatedPiston,
  bore_m: number,
  oil: SimulatedOil,
  temperature_degC: number,
): PistonFlow {
  const density = density_kg_per_m3(oil, temperature_degC);
  const viscosity_Pa_s = viscosity_m2_per_s(oil, temperature_degC) * density;
  const { holes, hole_m, thickness_m, gap_m, eccentricity, loss } = piston;
  const holeArea_m2 = holes * (Math.PI / 4) * hole_m ** 2;
  const length_m = thickness_m + (3 * Math.PI * hole_m) / 16;
  const perLoss = density / (2 * holeArea_m2 ** 2);
  const around_m = Math.PI * bore_m;
  return {
    laminar_Pa_s_per_m3: (128 * viscosity_Pa_s * length_m) / (holes * Math.PI * hole_m ** 4),
    lossCompression_Pa_s2_per_m6: loss.compression * perLoss,
    lossRebound_Pa_s2_per_m6: loss.rebound * perLoss,
    gap_m3_per_s_Pa:
      (around_m * gap_m ** 3 * (1 + 1.5 * eccentricity ** 2)) / (12 * viscosity_Pa_s * thickness_m),
    gapDrag_m2: (around_m * gap_m) / 2,
    gapShear_Ns_per_m: gap_m > 0 ? (viscosity_Pa_s * around_m * thickness_m) / gap_m : 0,
  };
}

/**
 * Pressure drop that drives a flow through holes and gap together.
 * @param flow resistance
 * @param through_m3_per_s flow, signed: positive toward the shaft side, as in compression; without the gap's drag
 * @param oilShare 1 when oil passes the holes, 0 when air does
 * @returns drop in Pa with the sign of the flow
 * Notes: root of a quadratic in the form that does not cancel.
 */
export function dropForFlow_Pa(flow: PistonFlow, through_m3_per_s: number, oilShare: number): number {
  const forward = through_m3_per_s >= 0;
  const total = forward ? through_m3_per_s : -through_m3_per_s;
  const laminar = flow.laminar_Pa_s_per_m3 * oilShare;
  const loss = (forward ? flow.lossCompression_Pa_s2_per_m6 : flow.lossRebound_Pa_s2_per_m6) * oilShare;
  const b = 1 + flow.gap_m3_per_s_Pa * laminar;
  const holes = (2 * total) / (b + Math.sqrt(b * b + 4 * flow.gap_m3_per_s_Pa * loss * total));
  const drop = (laminar + loss * holes) * holes;
  return forward ? drop : -drop;
}

/** Flow that a pressure drop drives through holes and gap: the inverse of `dropForFlow_Pa`. */
export function flowForDrop_m3_per_s(flow: PistonFlow, drop_Pa: number, oilShare: number): number {
  const forward = drop_Pa >= 0;
  const size = forward ? drop_Pa : -drop_Pa;
  // A share of nought would let air pass without limit; a hundredth of the oil's resistance is near enough to none.
  const share = Math.max(0.01, oilShare);
  const laminar = flow.laminar_Pa_s_per_m3 * share;
  const loss = (forward ? flow.lossCompression_Pa_s2_per_m6 : flow.lossRebound_Pa_s2_per_m6) * share;
  const holes = (2 * size) / (laminar + Math.sqrt(laminar * laminar + 4 * loss * size));
  const through = holes + flow.gap_m3_per_s_Pa * size;
  return forward ? through : -through;
}
