/**
 * What a simulated shock is made of. Everything the rig plays follows from these dimensions and materials; no damping
 * coefficient is typed in anywhere.
 */

/** Compression is the shaft moving into the body. */
export interface PerDirection {
  readonly compression: number;
  readonly rebound: number;
}

export interface SimulatedSeal {
  /** Sliding friction far above the Stribeck speed, N, before the pressure at the seal adds to it. */
  readonly sliding_N: PerDirection;
  /** Friction level at zero speed divided by the sliding level. */
  readonly breakawayRatio: number;
  readonly stribeck_m_per_s: number;
  /** Shear stiffness of the lip before it slides, N/m: LuGre's sigma 0. */
  readonly stiffness_N_per_m: number;
  /** Damping of that shear, N·s/m: LuGre's sigma 1. */
  readonly shearDamping_Ns_per_m: number;
  /** Friction that grows with speed, N·s/m: LuGre's sigma 2. */
  readonly viscous_Ns_per_m: number;
  /** Extra friction level per gauge pressure at the seal, N/Pa. */
  readonly energised_N_per_Pa: number;
}

export interface SimulatedOil {
  readonly viscosity25_m2_per_s: number;
  readonly density25_kg_per_m3: number;
}

export interface SimulatedPiston {
  readonly holes: number;
  readonly hole_m: number;
  readonly thickness_m: number;
  /** Entrance, kinetic-energy and exit loss in velocity heads; a chamfer on one face makes the directions differ. */
  readonly loss: PerDirection;
  /** Radial clearance to the bore. */
  readonly gap_m: number;
  /** 0 centred, 1 touching the bore. */
  readonly eccentricity: number;
}

export interface SimulatedGas {
  /** Gas volume and absolute pressure at full extension and 25 °C. */
  readonly volume_m3: number;
  readonly pressure_Pa: number;
  /** Time in which the gas comes back to the temperature of its walls, s. */
  readonly relaxation_s: number;
}

/** Air that got into the oil on the shaft side. */
export interface SimulatedAir {
  /** Bubbles, m³ at 1 atm: a spring in series with the damping. */
  readonly bubbles_m3: number;
  /** A pocket at the piston that passes its holes before the oil does, m³. */
  readonly pocket_m3: number;
}

export interface SimulatedShock {
  readonly name: string;
  readonly bore_m: number;
  readonly shaft_m: number;
  readonly seal: SimulatedSeal;
  readonly oil: SimulatedOil;
  readonly piston: SimulatedPiston;
  readonly gas: SimulatedGas;
  readonly air: SimulatedAir;
  /** Absolute pressure below which the oil on the shaft side can no longer be pulled along, Pa. */
  readonly release_Pa: number;
  /** Shaft, piston, eye: everything that moves beyond the cell. */
  readonly movingMass_kg: number;
  readonly spring?: { readonly rate_N_per_m: number; readonly preload_N: number };
  /** A stop that begins to touch at a position. */
  readonly stop?: {
    readonly position_m: number;
    readonly stiffness_N_per_m: number;
    readonly damping_Ns_per_m: number;
  };
  /** Drag raised around a position, e.g. by a bent shaft. */
  readonly binding?: { readonly position_m: number; readonly halfWidth_m: number; readonly extra_N: number };
}

export const atmosphere_Pa = 101_325;
export const referenceTemperature_degC = 25;

/** Area of the bore less that of the shaft: what pushes oil through the piston. */
export function annulus_m2(shock: Pick<SimulatedShock, 'bore_m' | 'shaft_m'>): number {
  return (Math.PI / 4) * (shock.bore_m ** 2 - shock.shaft_m ** 2);
}

export function shaft_m2(shock: Pick<SimulatedShock, 'shaft_m'>): number {
  return (Math.PI / 4) * shock.shaft_m ** 2;
}
