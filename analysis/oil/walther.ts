/** A kinematic viscosity at a temperature, as oil makers print it. */
export interface ViscosityPoint {
  readonly viscosity_m2_per_s: number;
  readonly temperature_degC: number;
}

/** Constants of log₁₀ log₁₀ (ν + 0.7) = A − B·log₁₀ T, ν in mm²/s and T in K. */
export interface WaltherConstants {
  readonly A: number;
  readonly B: number;
}

/** Below this viscosity the standard adds terms that are not used here. */
export const leastWaltherViscosity_m2_per_s = 2e-6;

/**
 * The straight line of a mineral oil on the viscosity-temperature chart.
 * @param first, second two viscosities above 2 mm²/s at different temperatures
 * @param zeroCelsius_K temperature of 0 °C; some published worksheets use 273
 * @returns the line's constants
 * Source: ASTM D341 (Walther), form for viscosities above 2 mm²/s
 */
export function waltherConstants(
  first: ViscosityPoint,
  second: ViscosityPoint,
  zeroCelsius_K = 273.15,
): WaltherConstants {
  const [W1, W2] = [first, second].map(({ viscosity_m2_per_s }) => doubleLog(viscosity_m2_per_s));
  const [T1, T2] = [first, second].map(({ temperature_degC }) =>
    Math.log10(temperature_degC + zeroCelsius_K),
  );
  const B = (W1 - W2) / (T2 - T1);
  return { A: W1 + B * T1, B };
}

/** Kinematic viscosity on that line, m²/s. */
export function waltherViscosity_m2_per_s(
  { A, B }: WaltherConstants,
  temperature_degC: number,
  zeroCelsius_K = 273.15,
): number {
  return fromDoubleLog(A - B * Math.log10(temperature_degC + zeroCelsius_K));
}

/** log₁₀ log₁₀ (ν + 0.7), the quantity that D341 draws and D7152 averages. */
export function doubleLog(viscosity_m2_per_s: number): number {
  return Math.log10(Math.log10(viscosity_m2_per_s * 1e6 + 0.7));
}

/** The viscosity whose double logarithm is given, m²/s. */
export function fromDoubleLog(W: number): number {
  return (10 ** (10 ** W) - 0.7) * 1e-6;
}
