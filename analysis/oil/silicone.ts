/**
 * Viscosity of silicone (PDMS) oil at a temperature over its viscosity at 25 °C:
 * log₁₀ ν(T)/ν₂₅ = 763.1/(273 + T) − 2.559, scaled to be exactly 1 at 25 °C.
 * @param temperature_degC oil temperature
 * @returns a ratio; falls by 2.05, 1.98 and 1.91 % per K at 20, 25 and 30 °C
 * Numerical notes: as published the relation gives 1.0040 at 25 °C, where it should give 1. Its slope is kept and its
 *   constant is not, so that the viscosity on the bottle is the viscosity at 25 °C.
 * Source: widely published supplier relation for conventional PDMS fluids; said to hold from about 50 cSt and from
 *   25 to 250 °C (the range is from memory).
 */
export function pdmsViscosityRatio(temperature_degC: number): number {
  return 10 ** (763.1 / (273 + temperature_degC) - 763.1 / 298);
}

/**
 * Density at 25 °C by viscosity. 100 cSt: 964 kg/m³ as printed for a dimethicone of that viscosity; the others are
 * from memory of suppliers' tables.
 */
const densities: readonly (readonly [viscosity_m2_per_s: number, density_kg_per_m3: number])[] = [
  [50e-6, 960],
  [100e-6, 964],
  [350e-6, 968],
  [1000e-6, 970.5],
];

/** Expansion of silicone oils, 1/K, from memory (suppliers print 9 to 10e-4). */
const expansion_per_K = 9.5e-4;

/**
 * Density of silicone oil.
 * @param viscosity25_m2_per_s kinematic viscosity at 25 °C
 * @param temperature_degC oil temperature
 * @returns kg/m³; between the table's viscosities by their logarithm, held constant beyond them
 */
export function siliconeDensity_kg_per_m3(viscosity25_m2_per_s: number, temperature_degC = 25): number {
  const last = densities.length - 1;
  const above = Math.min(
    last,
    Math.max(
      1,
      densities.findIndex(([viscosity]) => viscosity >= viscosity25_m2_per_s),
    ),
  );
  const [thin, light] = densities[viscosity25_m2_per_s > densities[last][0] ? last - 1 : above - 1];
  const [thick, heavy] = densities[viscosity25_m2_per_s > densities[last][0] ? last : above];
  const share = Math.min(1, Math.max(0, Math.log(viscosity25_m2_per_s / thin) / Math.log(thick / thin)));
  return (light + share * (heavy - light)) * (1 - expansion_per_K * (temperature_degC - 25));
}
