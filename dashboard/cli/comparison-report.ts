import type { Comparison } from '../../analysis/index.js';
import {
  type ComparisonWording,
  comparisonSentences,
  type DifferenceRow,
  differenceRows,
} from '../wording/index.js';
import { table } from './table.js';
import { style, wrap } from './terminal.js';

/** A comparison for a person: a sentence per difference, then the aligned numbers. */
export function comparisonReport(comparison: Comparison, wording: ComparisonWording = {}): string {
  const [first, ...others] = comparisonSentences(comparison, wording);
  const sentences = [style('bold', wrap(first!)), ...others.map((sentence) => wrap(sentence))].join('\n');
  const rows = together(differenceRows(comparison, wording.units));
  const oneUnit = new Set(rows.map((row) => row.unit)).size === 1 ? rows[0]!.unit : null;
  const quantity = ({ group, label, unit }: DifferenceRow) =>
    `${group ? `  ${group.entry}` : label}${oneUnit === null ? `, ${unit}` : ''}`;
  const numbers = table(
    [
      { heading: oneUnit === null ? 'Quantity' : `In ${oneUnit} (± 95 %)`, align: 'left', cell: quantity },
      { heading: 'Before', align: 'right', cell: (row) => row.before },
      { heading: 'After', align: 'right', cell: (row) => row.after },
      { heading: 'Difference', align: 'right', cell: (row) => row.difference },
      { heading: 'Verdict', align: 'left', cell: (row) => row.verdict },
    ],
    rows,
    { heading: ({ group }) => group?.heading ?? null },
  );
  return `${sentences}\n\n${numbers}\n${footnote(comparison)}`;
}

/** Rows of one group after each other, groups in the order of their first row. */
function together(rows: readonly DifferenceRow[]): DifferenceRow[] {
  const headings = [...new Set(rows.map((row) => row.group?.heading))];
  return headings.flatMap((heading) => rows.filter((row) => row.group?.heading === heading));
}

function footnote({ temperature_degC }: Comparison): string {
  return temperature_degC === null
    ? `${wrap('Not brought to one temperature: a recording has none. Oil thins by about 2 % per kelvin.')}\n`
    : '';
}
