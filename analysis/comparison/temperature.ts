/**
 * Viscosity of silicone (PDMS) oil at a temperature over its viscosity at 25 °C:
 * log₁₀ ν(T)/ν₂₅ = 763.1/(273 + T) − 2.559, scaled to be exactly 1 at 25 °C (as published it gives 1.0040 there).
 * Source: widely published supplier relation for conventional PDMS fluids; said to hold from about 50 cSt and
 * 25 to 250 °C (the range is from memory).
 */
export function pdmsViscosityRatio(temperature_degC: number): number {
  return 10 ** (763.1 / (273 + temperature_degC) - 763.1 / 298);
}
