import { type Estimate, scaleEstimate } from '../../analysis/index.js';
import { plusMinus } from './numbers.js';
import { type Dimension, type DisplayUnits, displayScale, metric } from './units.js';

/** An SI estimate in the units chosen: "1.32 ± 0.05 N"; a dash where there is none. */
export function amountText(
  estimate: Estimate | null,
  dimension: Dimension,
  units: DisplayUnits = metric,
): string {
  const { unit, factor } = displayScale(dimension, units);
  return plusMinus(estimate && scaleEstimate(estimate, factor), unit);
}
