import type { OilAnswer } from '../answers/index.js';
import { shelfRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';

/** A plan for a person: sentences, then the shelf, nearest first. */
export function oilReport(answer: OilAnswer, sentences: readonly string[]): string {
  const rows = shelfRows(answer);
  if (rows.length === 0) return sentencesReport(sentences);
  const judged = rows.some(({ verdict }) => verdict !== '');
  const numbers = table(
    [
      { heading: 'Oil', align: 'left', cell: ({ label }) => label },
      { heading: 'cSt', align: 'right', cell: ({ viscosity }) => viscosity },
      { heading: 'Times wanted', align: 'right', cell: ({ over }) => over },
      ...(judged
        ? [
            {
              heading: 'Largest deviation foretold',
              align: 'left',
              cell: ({ worst }: (typeof rows)[number]) => worst,
            } as const,
          ]
        : []),
    ],
    rows,
  );
  return `${sentencesReport(sentences)}\n${numbers}\n`;
}
