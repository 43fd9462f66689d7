import { atmosphere_Pa, type SimulatedSeal, type SimulatedShock } from './shock-parameters.js';

/** What an owner mounts to look after the rig: nothing, a dry spring, a spring with a friction block. All invented. */
export type TestPieceName = 'bare-slide' | 'dry-spring' | 'check-standard';

function dryFriction(level_N: number): SimulatedSeal {
  return {
    sliding_N: { compression: level_N, rebound: level_N },
    breakawayRatio: 1.05,
    stribeck_m_per_s: 0.002,
    stiffness_N_per_m: 2e4,
    shearDamping_Ns_per_m: 0,
    viscous_Ns_per_m: 0,
    energised_N_per_Pa: 0,
  };
}

/** An empty body: air through wide holes, and a shaft too thin for any gas to push at. */
const emptyBody: Omit<SimulatedShock, 'name' | 'seal' | 'movingMass_kg'> = {
  bore_m: 12e-3,
  shaft_m: 1e-5,
  oil: { viscosity25_m2_per_s: 1.5e-5, density25_kg_per_m3: 1.2 },
  piston: {
    holes: 6,
    hole_m: 4e-3,
    thickness_m: 2e-3,
    loss: { compression: 1.5, rebound: 1.5 },
    gap_m: 0.2e-3,
    eccentricity: 0,
  },
  gas: { volume_m3: 1e-5, pressure_Pa: atmosphere_Pa, relaxation_s: 0.02 },
  air: { bubbles_m3: 0, pocket_m3: 0 },
  release_Pa: 1e4,
};

export const testPieces: Readonly<Record<TestPieceName, SimulatedShock>> = {
  'bare-slide': { ...emptyBody, name: 'bare-slide', seal: dryFriction(0.01), movingMass_kg: 0.0092 },
  'dry-spring': {
    ...emptyBody,
    name: 'dry-spring',
    seal: dryFriction(0.04),
    movingMass_kg: 0.0131,
    spring: { rate_N_per_m: 870, preload_N: 1.4 },
  },
  'check-standard': {
    ...emptyBody,
    name: 'check-standard',
    seal: dryFriction(0.85),
    movingMass_kg: 0.0164,
    spring: { rate_N_per_m: 640, preload_N: 2.1 },
  },
};
