import type { Comparison } from '../../analysis/index.js';
import type { CompareAnswer } from '../answers/index.js';
import {
  buildsSentences,
  type ComparisonWording,
  comparisonSentences,
  type DifferenceRow,
  differenceRows,
  planSentence,
  spreadSentence,
} from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { style, wrap } from './terminal.js';

/** A comparison for a person: a sentence per difference, then the aligned numbers. */
export function comparisonReport(comparison: Comparison, wording: ComparisonWording = {}): string {
  return `${sentencesReport(comparisonSentences(comparison, wording))}\n${differencesTable(comparison, wording)}\n${footnote(comparison.temperature_degC)}`;
}

/** Any number of builds against the first: sentences, then the aligned numbers of each. */
export function buildsReport(answer: CompareAnswer): string {
  const further = [spreadSentence(answer), planSentence(answer)].filter((sentence) => sentence !== null);
  const tables = answer.comparisons.map((comparison) => {
    const heading = `${style('bold', comparison.name)} against ${answer.reference}\n`;
    return `${answer.comparisons.length > 1 ? heading : ''}${differencesTable(comparison)}`;
  });
  return `${sentencesReport([...buildsSentences(answer), ...further])}\n${tables.join('\n\n')}\n${footnote(answer.temperature_degC)}`;
}

function differencesTable(comparison: Comparison, wording: ComparisonWording = {}): string {
  const rows = together(differenceRows(comparison, wording.units));
  const oneUnit = new Set(rows.map((row) => row.unit)).size === 1 ? rows[0]!.unit : null;
  const quantity = ({ group, label, unit }: DifferenceRow) =>
    `${group ? `  ${group.entry}` : label}${oneUnit === null ? `, ${unit}` : ''}`;
  return table(
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
}

/** Rows of one group after each other, groups in the order of their first row. */
function together(rows: readonly DifferenceRow[]): DifferenceRow[] {
  const headings = [...new Set(rows.map((row) => row.group?.heading))];
  return headings.flatMap((heading) => rows.filter((row) => row.group?.heading === heading));
}

function footnote(temperature_degC: number | null): string {
  return temperature_degC === null
    ? `${wrap('Not brought to one temperature: a recording has none. Oil thins by about 2 % per kelvin.')}\n`
    : '';
}
