/** A mass on the cell, from the moment it is let go. */
export interface HungMass {
  readonly mass_kg: number;
  readonly since_s: number;
}

/** Air takes off as much as its own weight for the room that weights need, which are steel of 8000 kg/m³ by convention. */
const buoyancy = 1 - 1.2 / 8000;
/** A hand never lets go without a swing: its share of the weight, how often a second and how long it lasts. */
const swing = { share: 0.02, frequency_Hz: 2.3, decay_s: 1.2 };

/**
 * Force of a hanging mass, N, while its swing dies away.
 * @param time_s true time, at or after it was hung
 * @param gravity_m_per_s2 where the rig stands
 */
export function hangingForce_N(
  { mass_kg, since_s }: HungMass,
  time_s: number,
  gravity_m_per_s2: number,
): number {
  const age_s = time_s - since_s;
  const swinging =
    swing.share * Math.exp(-age_s / swing.decay_s) * Math.cos(2 * Math.PI * swing.frequency_Hz * age_s);
  return mass_kg * gravity_m_per_s2 * buoyancy * (1 + swinging);
}
