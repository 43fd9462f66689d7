import type { ResolvesAnswer } from '../answers/index.js';
import { resolvesRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { wrap } from './terminal.js';

type Row = ReturnType<typeof resolvesRows>[number];

/** What a rig resolves, for a person: sentences, then a line a quantity. */
export function resolvesReport(answer: ResolvesAnswer, sentences: readonly string[]): string {
  const remounts = answer.quantities[0]?.resolvable.map((at) => at.remounts) ?? [];
  const numbers = table<Row>(
    [
      {
        heading: 'Quantity',
        align: 'left',
        cell: ({ quantity, group }) => (group ? `  ${group.entry}` : quantity),
      },
      { heading: 'About, N', align: 'right', cell: ({ value }) => value },
      { heading: 'Spread, %', align: 'right', cell: ({ spread }) => spread },
      ...remounts.map((n, i) => ({
        heading: `${n}+${n}`,
        align: 'right' as const,
        cell: ({ resolvable }: Row) => resolvable[i]!,
      })),
      { heading: '3+3 at worst', align: 'right', cell: ({ cautious }) => cautious },
      { heading: 'Target, %', align: 'right', cell: ({ tolerance }) => tolerance },
    ],
    together(resolvesRows(answer)),
    { heading: ({ group }) => group?.heading ?? null },
  );
  const legend =
    'Columns such as 3+3: the difference in N that so many remounts a side tell from nothing four times in five.';
  return `${sentencesReport(sentences)}\n${numbers}\n${wrap(legend)}\n`;
}

/** Rows of one group after each other, groups in the order of their first row. */
function together(rows: readonly Row[]): Row[] {
  const headings = [...new Set(rows.map(({ group }) => group?.heading))];
  return headings.flatMap((heading) => rows.filter(({ group }) => group?.heading === heading));
}
