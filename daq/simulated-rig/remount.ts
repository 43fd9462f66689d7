import { randomStream } from './random.js';
import type { SimulatedShock } from './shock-parameters.js';

/** A shock as it sits on the rig after one particular mounting. */
export interface MountedShock {
  readonly shock: SimulatedShock;
  /** Compression of the shock at the crank's outer dead centre. */
  readonly offset_m: number;
  /** Pull of mounts and cables on the cell, N. */
  readonly preload_N: number;
  readonly sideLoad: number;
  readonly start_degC: number;
}

export interface RemountSpread {
  /** Relative standard deviation of the seal's levels. */
  readonly drag: number;
  readonly offset_m: number;
  readonly preload_N: number;
  readonly sideLoad: number;
  readonly start_K: number;
}

export const usualRemountSpread: RemountSpread = {
  drag: 0.02,
  offset_m: 0.15e-3,
  preload_N: 0.02,
  sideLoad: 0.01,
  start_K: 0.4,
};

export const noRemountSpread: RemountSpread = {
  drag: 0,
  offset_m: 0,
  preload_N: 0,
  sideLoad: 0,
  start_K: 0,
};

const meanOffset_m = 0.8e-3;

/**
 * Mounts a shock: each time a little differently, the same way for the same seed, name and number.
 * @param shock the shock as built
 * @param seed seed of the rig
 * @param mountNumber which mounting, counted by the caller
 * @param room_degC temperature the shock starts from, give or take
 * @param spread standard deviations between mountings
 */
export function mountShock(
  shock: SimulatedShock,
  seed: number,
  mountNumber: number,
  room_degC: number,
  spread: RemountSpread,
): MountedShock {
  const { normal } = randomStream(seed, `mount ${mountNumber} of ${shock.name}`);
  const dragFactor = 1 + spread.drag * normal();
  const { compression, rebound } = shock.seal.sliding_N;
  return {
    shock: {
      ...shock,
      seal: {
        ...shock.seal,
        sliding_N: { compression: compression * dragFactor, rebound: rebound * dragFactor },
      },
    },
    offset_m: meanOffset_m + spread.offset_m * normal(),
    preload_N: spread.preload_N * normal(),
    sideLoad: spread.sideLoad * normal(),
    start_degC: room_degC + spread.start_K * normal(),
  };
}
