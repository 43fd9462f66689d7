/** The single passages that oil takes through and around a piston. SI units; viscosity_Pa_s is dynamic. */

/**
 * Laminar resistance of a round hole, Pa·s/m³: drop over flow without losses.
 * @param length_m of the hole itself; 0 for a hole in a thin plate
 * Source: Hagen-Poiseuille 128·μ·L/(π·d⁴) with a length longer by 3π·d/16, the creeping flow into and out of a hole
 *   in a thin plate (Sampson 1891), added as Weissberg (1962) showed to be right within 3 %
 */
export function holeResistance(diameter_m: number, length_m: number, viscosity_Pa_s: number): number {
  const effective_m = length_m + (3 * Math.PI * diameter_m) / 16;
  return (128 * viscosity_Pa_s * effective_m) / (Math.PI * diameter_m ** 4);
}

/**
 * Loss factor of a round hole, Pa·s²/m⁶: drop over squared flow.
 * @param heads entrance, kinetic energy (Hagenbach) and exit losses in velocity heads ρ/2·(Q/A)²
 */
export function holeLoss(diameter_m: number, heads: number, density_kg_per_m3: number): number {
  return (heads * density_kg_per_m3) / 2 / ((Math.PI / 4) * diameter_m ** 2) ** 2;
}

/**
 * Flow of a drop through one hole, m³/s.
 * Numerical notes: root of loss·Q² + resistance·Q = drop in the form that does not cancel; drop >= 0
 */
export function holeFlow(drop_Pa: number, resistance: number, loss: number): number {
  return (2 * drop_Pa) / (resistance + Math.sqrt(resistance * resistance + 4 * loss * drop_Pa));
}

/**
 * Conductance of the gap around a piston, m³/(s·Pa): π·D·h³·(1 + 1.5·ε²)/(12·μ·L).
 * @param diameter_m mean diameter of the gap
 * @param gap_m radial clearance, narrow against the diameter
 * @param eccentricity 0 centred to 1 touching
 * Source: Fox & McDonald, *Introduction to Fluid Mechanics*, narrow annulus; eccentricity after Merritt, *Hydraulic
 *   Control Systems* (1967), from memory and checked by integration in the tests
 */
export function gapConductance(
  diameter_m: number,
  gap_m: number,
  length_m: number,
  viscosity_Pa_s: number,
  eccentricity = 0,
): number {
  return (
    (Math.PI * diameter_m * gap_m ** 3 * (1 + 1.5 * eccentricity ** 2)) / (12 * viscosity_Pa_s * length_m)
  );
}

/** Area through which the bore wall drags oil along, m²: flow π·D·h·v/2 of a slot with one moving wall. */
export const gapDrag_m2 = (diameter_m: number, gap_m: number): number => (Math.PI * diameter_m * gap_m) / 2;

/**
 * Shear of the gap's oil on the piston, N·s/m: μ·π·D·L/h, over √(1 − ε²) off centre, the mean of 1/h round the gap.
 * @param eccentricity 0 centred to below 1
 */
export function gapShear(
  diameter_m: number,
  gap_m: number,
  length_m: number,
  viscosity_Pa_s: number,
  eccentricity = 0,
): number {
  return (viscosity_Pa_s * Math.PI * diameter_m * length_m) / (gap_m * Math.sqrt(1 - eccentricity ** 2));
}

/** Reynolds number of a round hole: 4·Q/(π·d·ν). Laminar below about 2000. */
export const holeReynolds = (flow_m3_per_s: number, diameter_m: number, viscosity_m2_per_s: number): number =>
  (4 * flow_m3_per_s) / (Math.PI * diameter_m * viscosity_m2_per_s);

/**
 * Discharge coefficient of a long orifice, for checks from outside the laminar model.
 * @param reynolds 10 to 20 000
 * @param lengthOverDiameter up to 10
 * @returns Cd of Q = Cd·A·√(2·Δp/ρ)
 * Numerical notes: against a laminar hole of the same slenderness it agrees within a fifth from Re 300 to 1000; below
 *   Re 200 it asks for up to twice the drop, because its laminar term falls with the square of Re and theory's does not
 * Source: Lichtarowicz, Duggins & Markland, *J. Mech. Eng. Sci.* 7(2), 1965, as tabulated publicly
 */
export function longOrificeDischarge(reynolds: number, lengthOverDiameter: number): number {
  const turbulent = 0.827 - 0.0085 * lengthOverDiameter;
  const between = 1 + 7.5 * Math.log10(1.5e-4 * reynolds) ** 2;
  return (
    1 /
    (1 / turbulent +
      (20 / reynolds) * (1 + 2.25 * lengthOverDiameter) -
      (0.005 * lengthOverDiameter) / between)
  );
}
