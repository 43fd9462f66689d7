import { type Estimate, scaleEstimate } from '../../analysis/index.js';
import { formatDecimals, formatNumber, plusMinus } from './numbers.js';
import { type Dimension, type DisplayUnits, displayScale, metric } from './units.js';

/**
 * An estimate in the units chosen: "1.32 ± 0.05 N"; a dash where there is none.
 * @param toSI from the estimate's own unit to SI, such as 1e-3 for millimetres
 */
export function amountText(
  estimate: Estimate | null,
  dimension: Dimension,
  units: DisplayUnits = metric,
  toSI = 1,
): string {
  const { unit, factor } = displayScale(dimension, units);
  return plusMinus(estimate && scaleEstimate(estimate, factor * toSI), unit);
}

/**
 * A value without an interval in the units chosen: "0.21 N/mm".
 * @param toSI from the value's own unit to SI
 * @param digits how the number is written
 */
export function valueText(
  value: number,
  dimension: Dimension,
  units: DisplayUnits,
  toSI: number,
  digits: (shown: number) => string = (shown) => formatNumber(shown, 2),
): string {
  const { unit, factor } = displayScale(dimension, units);
  return `${digits(value * factor * toSI)} ${unit}`;
}

/** Millimetres as a number in the length chosen, to about a tenth of a millimetre; unit apart. */
export function lengthNumber(value_mm: number, { length }: DisplayUnits): string {
  const { factor } = displayScale('length', { ...metric, length });
  return formatDecimals(value_mm * factor * 1e-3, length === 'in' ? 3 : 1);
}

/** Millimetres to about a tenth of one: "3.4 mm", "0.134 in". */
export const lengthText = (value_mm: number, units: DisplayUnits): string =>
  `${lengthNumber(value_mm, units)} ${units.length}`;
