import { referenceTemperature_degC, type SimulatedOil } from './shock-parameters.js';

/**
 * Kinematic viscosity of a silicone oil.
 * @param oil its viscosity at 25 °C
 * @param temperature_degC oil temperature, about 0 to 100 °C
 * @returns m²/s
 * Notes: falls by 1.98 % per K at 25 °C. The published relation gives 1.004 at 25 °C where it should give 1; here
 *   only its slope is used, so that 25 °C is exact.
 * Source: supplier relation for PDMS, log10 ν(T) = 763.1/(273 + T) − 2.559 + log10 ν(25 °C).
 */
export function viscosity_m2_per_s(oil: SimulatedOil, temperature_degC: number): number {
  return oil.viscosity25_m2_per_s * 10 ** (763.1 * (1 / (273 + temperature_degC) - 1 / 298));
}

/** Density in kg/m³, falling by 0.09 % per K (expansion of silicone oil, from memory). */
export function density_kg_per_m3(oil: SimulatedOil, temperature_degC: number): number {
  return oil.density25_kg_per_m3 * (1 - 9e-4 * (temperature_degC - referenceTemperature_degC));
}
