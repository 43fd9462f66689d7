import { formatChosen, sentenceCase } from './numbers.js';
import { type Dimension, type DisplayUnits, displayScale, metric } from './units.js';

/** What a quantity of a comparison means to a person. */
export interface QuantityMeaning {
  /** Heading for a table or an axis, without unit: "Drag", "Compression damping at 100 mm/s". */
  readonly label: string;
  /** For a table: rows with the same heading stand together under it, told apart by the entry. */
  readonly group: { readonly heading: string; readonly entry: string } | null;
  readonly dimension: Dimension;
  /** From the number as it stands in the result to SI. */
  readonly toSI: number;
  /** Clause for "{build} {more/less}": what the build does with the amount put in. */
  readonly says: (amount: string, direction: 'less' | 'more') => string;
}

const suffixes: readonly (readonly [string, Dimension, number])[] = [
  ['_N_per_mm', 'springRate', 1000],
  ['_Ns_per_m', 'linearDamping', 1],
  ['_Ns2_per_m2', 'quadraticDamping', 1],
  ['_ms', 'time', 1e-3],
  ['_kg', 'mass', 1],
  ['_mm', 'length', 1e-3],
  ['_degC', 'temperature', 1],
  ['_N', 'force', 1],
];

/**
 * Reads a quantity's name as it stands in a comparison.
 * @param quantity e.g. `friction_N`, `breakaway_N`, `damping.compression@0.10` (the speed in m/s)
 * @param units display units, for the speed in the label
 * @returns its meaning; a name not known is read by its unit suffix
 */
export function quantityMeaning(quantity: string, units: DisplayUnits = metric): QuantityMeaning {
  if (quantity === 'friction_N')
    return {
      label: 'Drag',
      group: null,
      dimension: 'force',
      toSI: 1,
      says: (amount, direction) => `drags ${amount} ${direction}`,
    };
  if (quantity === 'breakaway_N')
    return {
      label: 'Breakaway',
      group: null,
      dimension: 'force',
      toSI: 1,
      says: (amount, direction) => `needs ${amount} ${direction} to start moving`,
    };
  const damping = /^damping\.(compression|rebound)@(\d+(?:\.\d+)?)$/.exec(quantity);
  if (damping) {
    const velocity = displayScale('velocity', units);
    const speed = `${formatChosen(Number(damping[2]) * velocity.factor)} ${velocity.unit}`;
    return {
      label: `${sentenceCase(damping[1]!)} damping at ${speed}`,
      group: { heading: `Damping in ${damping[1]}`, entry: speed },
      dimension: 'force',
      toSI: 1,
      says: (amount, direction) => `damps ${amount} ${direction} in ${damping[1]} at ${speed}`,
    };
  }
  const [suffix, dimension, toSI] = suffixes.find(([end]) => quantity.endsWith(end)) ?? ['', 'none', 1];
  const name = quantity
    .slice(0, quantity.length - suffix.length)
    .replace(/[._]/g, ' ')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase();
  return {
    label: sentenceCase(name),
    group: null,
    dimension,
    toSI,
    says: (amount, direction) => `has ${amount} ${direction} ${name}`,
  };
}
