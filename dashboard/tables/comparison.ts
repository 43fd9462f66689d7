import type { Comparison } from '../../analysis/index.js';
import { requireFewEnoughRows } from './row-limit.js';
import type { Table } from './table.js';

/** Two builds held against each other. */
export interface ComparedBuilds {
  readonly before: string;
  readonly after: string;
  readonly comparison: Comparison;
}

export type ComparisonColumn =
  | 'before_build'
  | 'after_build'
  | 'quantity'
  | 'before'
  | 'before_low95'
  | 'before_high95'
  | 'after'
  | 'after_low95'
  | 'after_high95'
  | 'difference'
  | 'difference_low95'
  | 'difference_high95'
  | 'verdict'
  | 'resolvable'
  | 'before_remounts'
  | 'after_remounts'
  | 'temperature_degC';

/**
 * Differences between builds as one table, a line per pair and quantity.
 * @param pairs the comparisons, in the order wanted
 * @returns values, 95 % intervals, verdict and smallest resolvable difference in the unit the quantity's name
 *   carries, and the temperature that damping was brought to
 * @throws too-many-rows beyond 10 000 lines
 */
export function comparisonTable(pairs: readonly ComparedBuilds[]): Table<ComparisonColumn> {
  const lines = pairs.reduce((sum, pair) => sum + pair.comparison.differences.length, 0);
  requireFewEnoughRows(lines, 'comparisonTable');
  return {
    columns: [
      'before_build',
      'after_build',
      'quantity',
      'before',
      'before_low95',
      'before_high95',
      'after',
      'after_low95',
      'after_high95',
      'difference',
      'difference_low95',
      'difference_high95',
      'verdict',
      'resolvable',
      'before_remounts',
      'after_remounts',
      'temperature_degC',
    ],
    rows: pairs.flatMap(({ before, after, comparison }) =>
      comparison.differences.map((entry) => ({
        before_build: before,
        after_build: after,
        quantity: entry.quantity,
        before: entry.before.value,
        before_low95: entry.before.low95,
        before_high95: entry.before.high95,
        after: entry.after.value,
        after_low95: entry.after.low95,
        after_high95: entry.after.high95,
        difference: entry.difference.value,
        difference_low95: entry.difference.low95,
        difference_high95: entry.difference.high95,
        verdict: entry.verdict,
        resolvable: entry.resolvable,
        before_remounts: comparison.remounts.before,
        after_remounts: comparison.remounts.after,
        temperature_degC: comparison.temperature_degC,
      })),
    ),
  };
}
