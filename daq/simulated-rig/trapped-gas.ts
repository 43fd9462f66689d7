import type { SimulatedGas } from './shock-parameters.js';

/** The gas in the cap, with its own temperature. */
export interface TrappedGas {
  /**
   * Takes the gas to a new volume.
   * @param taken_m3 volume taken from it since full extension
   * @param dt_s duration of the step
   * @param wall_degC temperature of what surrounds it
   * @returns absolute pressure, Pa
   */
  step(taken_m3: number, dt_s: number, wall_degC: number): number;
}

const adiabaticExponent = 1.4;
const kelvin = 273.15;
const fillTemperature_K = 25 + kelvin;

/**
 * Starts the gas of a shock at rest: an ideal gas that warms when compressed and gives its heat to the walls.
 * @param gas volume, absolute pressure and heat relaxation
 * @param taken_m3 volume already taken from it
 * @param wall_degC temperature it starts with
 * @returns the gas with its state
 * Notes: the polytropic exponent is a result: 1 when slow against the relaxation, 1.4 when fast, and between them a
 *   loop of its own.
 */
export function trappedGas(gas: SimulatedGas, taken_m3: number, wall_degC: number): TrappedGas {
  const perKelvin_Pa_m3 = (gas.pressure_Pa * gas.volume_m3) / fillTemperature_K;
  const now = { volume_m3: gas.volume_m3 - taken_m3, temperature_K: wall_degC + kelvin };
  return {
    step(taken, dt_s, wall) {
      const volume_m3 = gas.volume_m3 - taken;
      const squeezed_K = now.temperature_K * (1 + (adiabaticExponent - 1) * (now.volume_m3 / volume_m3 - 1));
      now.volume_m3 = volume_m3;
      now.temperature_K = squeezed_K + (wall + kelvin - squeezed_K) * (dt_s / gas.relaxation_s);
      return (perKelvin_Pa_m3 * now.temperature_K) / volume_m3;
    },
  };
}

/**
 * Polytropic exponent that the gas shows to a small harmonic motion.
 * @param relaxation_s heat relaxation
 * @param frequency_Hz of the motion
 * @returns the part of the exponent in phase with the motion, 1 to 1.4
 */
export function shownExponent(relaxation_s: number, frequency_Hz: number): number {
  const phase2 = (2 * Math.PI * frequency_Hz * relaxation_s) ** 2;
  return (1 + adiabaticExponent * phase2) / (1 + phase2);
}
