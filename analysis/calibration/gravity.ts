/**
 * Acceleration of free fall by the normal gravity of WGS 84 with its linear decrease in free air.
 * @param latitude_deg −90 to 90
 * @param height_m above sea level
 * @returns m/s²
 * Numerical notes: true gravity differs by anomalies, of which one standard deviation is about 3e-4 m/s² (30 mGal,
 *   from memory); `gravityUncertainty_m_per_s2` doubles that.
 * Source: NIMA TR8350.2, *World Geodetic System 1984*, equation 4-1 (Somigliana); constants as in public reprints of it
 *   (pole 9.832 184 9378 m/s²); free-air gradient −3.086e-6 1/s² from memory.
 */
export function normalGravity_m_per_s2(latitude_deg: number, height_m = 0): number {
  const sine2 = Math.sin((latitude_deg * Math.PI) / 180) ** 2;
  const onEllipsoid =
    (9.7803253359 * (1 + 0.00193185265241 * sine2)) / Math.sqrt(1 - 0.00669437999013 * sine2);
  return onEllipsoid - 3.086e-6 * height_m;
}

export const gravityUncertainty_m_per_s2 = 6e-4;

/** Conventional densities for weighing in air, kg/m³. Source: OIML D 28, from memory. */
const air_kg_per_m3 = 1.2;
const weights_kg_per_m3 = 8000;

/**
 * Force with which a mass hangs in air.
 * @param mass_kg as a balance shows it or a weight is marked, which is conventional mass
 * @param gravity_m_per_s2 local
 * Numerical notes: buoyancy takes 0.015 % whatever the mass is made of, since conventional mass counts every body as if
 *   it had the weights' density.
 */
export function hangingForce_N(mass_kg: number, gravity_m_per_s2: number): number {
  return mass_kg * gravity_m_per_s2 * (1 - air_kg_per_m3 / weights_kg_per_m3);
}

/** Free fall anywhere on the ground lies within 9.763 and 9.834 m/s² (from memory); its uncertainty as a rectangle's. */
export const gravityAnywhere = {
  value_m_per_s2: 9.80665,
  relative: (9.834 - 9.763) / 2 / Math.sqrt(3) / 9.80665,
};
