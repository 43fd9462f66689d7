import type { SimulatedOil, SimulatedSeal, SimulatedShock } from './shock-parameters.js';
import { testPieces } from './test-pieces.js';

/** All invented: one shock of a common size, changed in one thing at a time. */

const lowDragSeal: SimulatedSeal = {
  sliding_N: { compression: 0.42, rebound: 0.39 },
  breakawayRatio: 1.25,
  stribeck_m_per_s: 0.003,
  stiffness_N_per_m: 9e3,
  shearDamping_Ns_per_m: 0.2,
  viscous_Ns_per_m: 0.05,
  energised_N_per_Pa: 2e-7,
};

const draggySeal: SimulatedSeal = {
  sliding_N: { compression: 1.1, rebound: 1.02 },
  breakawayRatio: 1.55,
  stribeck_m_per_s: 0.004,
  stiffness_N_per_m: 1.6e4,
  shearDamping_Ns_per_m: 0.3,
  viscous_Ns_per_m: 0.1,
  energised_N_per_Pa: 3e-7,
};

/** Silicone oil; density from published values for 100 to 1000 cSt, 964 to 971 kg/m³ at 25 °C. */
function siliconeOil(viscosity_cSt: number): SimulatedOil {
  return { viscosity25_m2_per_s: viscosity_cSt * 1e-6, density25_kg_per_m3: 968 };
}

const shock: SimulatedShock = {
  name: 'low-drag-seal',
  bore_m: 12.7e-3,
  shaft_m: 3.5e-3,
  seal: lowDragSeal,
  oil: siliconeOil(350),
  piston: {
    holes: 4,
    hole_m: 1.5e-3,
    thickness_m: 2.5e-3,
    loss: { compression: 2.3, rebound: 1.9 },
    gap_m: 0.09e-3,
    eccentricity: 0.6,
  },
  // Foam behind the bladder takes up the heat of the gas: without it, relaxation lasts about 0.15 s.
  gas: { volume_m3: 2.2e-6, pressure_Pa: 1.15e5, relaxation_s: 0.02 },
  air: { bubbles_m3: 0, pocket_m3: 0 },
  release_Pa: 1e4,
  movingMass_kg: 0.011,
};

export type SimulatedBuildName =
  | 'draggy-seal'
  | 'low-drag-seal'
  | 'oil-300'
  | 'oil-400'
  | 'oil-500'
  | 'stock-piston'
  | 'drilled-piston'
  | 'air-in-oil'
  | 'stop-inside'
  | 'dry-spring';

/** What the simulated rig can play by name. */
export const simulatedBuilds: Readonly<Record<SimulatedBuildName, SimulatedShock>> = {
  'draggy-seal': { ...shock, name: 'draggy-seal', seal: draggySeal },
  'low-drag-seal': shock,
  'oil-300': { ...shock, name: 'oil-300', oil: siliconeOil(300) },
  'oil-400': { ...shock, name: 'oil-400', oil: siliconeOil(400) },
  'oil-500': { ...shock, name: 'oil-500', oil: siliconeOil(500) },
  'stock-piston': { ...shock, name: 'stock-piston' },
  'drilled-piston': {
    ...shock,
    name: 'drilled-piston',
    piston: { ...shock.piston, hole_m: 1.6e-3 },
  },
  // An emulsion cap has no bladder: less gas of its own, the rest of it in the oil.
  'air-in-oil': {
    ...shock,
    name: 'air-in-oil',
    gas: { volume_m3: 1.6e-6, pressure_Pa: 1.05e5, relaxation_s: 0.02 },
    air: { bubbles_m3: 0.15e-6, pocket_m3: 0.1e-6 },
  },
  // A padded stop that touches shortly before the crank's inner dead centre.
  'stop-inside': {
    ...shock,
    name: 'stop-inside',
    stop: { position_m: 22.5e-3, stiffness_N_per_m: 8e3, damping_Ns_per_m: 5 },
  },
  'dry-spring': testPieces['dry-spring'],
};
