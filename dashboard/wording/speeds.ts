import { formatChosen } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** "120 mm/s", without its direction. */
export function speedText(velocity_m_per_s: number, units: DisplayUnits = metric): string {
  const { factor, unit } = displayScale('velocity', units);
  return `${formatChosen(Math.abs(velocity_m_per_s) * factor)} ${unit}`;
}

/** "in compression" or "in rebound". */
export const directionText = (velocity_m_per_s: number): string =>
  velocity_m_per_s > 0 ? 'in compression' : 'in rebound';

/** "in rebound at 120 mm/s". */
export const placeText = (velocity_m_per_s: number, units: DisplayUnits = metric): string =>
  `${directionText(velocity_m_per_s)} at ${speedText(velocity_m_per_s, units)}`;
