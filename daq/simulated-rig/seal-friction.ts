import type { SimulatedSeal } from './shock-parameters.js';

/** A seal lip that shears before it slides, with its state. */
export interface SealFriction {
  /**
   * Moves the shaft and tells what the seal pushes back with.
   * @param travel_m signed travel in this step (compression positive)
   * @param dt_s its duration
   * @param extraLevel_N friction level added by pressure or a tight spot
   * @returns friction force at the end of the step, N, positive when it pushes back against compression
   */
  step(travel_m: number, dt_s: number, extraLevel_N: number): number;
  /** Multiplies both levels from now on, as side load along the stroke does. */
  levelFactor: number;
  /** How far the lip is sheared, m: LuGre's z. */
  sheared_m: number;
}

/**
 * Starts a relaxed seal by the LuGre model: dz/dt = v − σ0·|v|·z/g(v), F = σ0·z + σ1·dz/dt + σ2·v.
 * @param seal levels, stiffness, damping; the level of a direction applies while moving in it
 * @returns the seal with its state
 * Notes: the step is the exact solution for constant speed within it, so any step length is stable; a shaft that
 *   stands keeps its friction.
 * Source: C. Canudas de Wit, H. Olsson, K. J. Åström, P. Lischinsky, IEEE Trans. Autom. Control 40(3) (1995) 419–425.
 */
export function sealFriction(seal: SimulatedSeal): SealFriction {
  const { stribeck_m_per_s, stiffness_N_per_m, shearDamping_Ns_per_m, viscous_Ns_per_m } = seal;
  const sliding = seal.sliding_N;
  const rise = seal.breakawayRatio - 1;
  const inverseStribeck = 1 / stribeck_m_per_s;

  const lip: SealFriction = {
    levelFactor: 1,
    sheared_m: 0,
    step(travel_m, dt_s, extraLevel_N) {
      const velocity = travel_m / dt_s;
      if (velocity === 0) return stiffness_N_per_m * lip.sheared_m;
      const forward = velocity > 0;
      const relative = velocity * inverseStribeck;
      // Beyond six Stribeck speeds the rise is under 1e-15 of itself.
      const stribeck = relative > 6 || relative < -6 ? 0 : Math.exp(-relative * relative);
      const base = (forward ? sliding.compression : sliding.rebound) * lip.levelFactor + extraLevel_N;
      const level_N = base * (1 + rise * stribeck);
      const end_m = (forward ? level_N : -level_N) / stiffness_N_per_m;
      const sheared_m = end_m + (lip.sheared_m - end_m) * Math.exp(-travel_m / end_m);
      lip.sheared_m = sheared_m;
      const shearing_m_per_s = velocity * (1 - sheared_m / end_m);
      return (
        stiffness_N_per_m * sheared_m + shearDamping_Ns_per_m * shearing_m_per_s + viscous_Ns_per_m * velocity
      );
    },
  };
  return lip;
}
