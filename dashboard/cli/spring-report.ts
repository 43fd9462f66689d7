import type { SpringAnswer } from '../answers/index.js';
import { formatNumber, springCaution, springRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { wrap } from './terminal.js';

/** A spring for a person: sentences, the numbers, springs of the shelf, what can hurt. */
export function springReport(answer: SpringAnswer, sentences: readonly string[]): string {
  const numbers = table(
    [
      { heading: 'Quantity', align: 'left', cell: ({ quantity }) => quantity },
      { heading: 'Value (± 95 %)', align: 'right', cell: ({ value }) => value },
      { heading: 'Unit', align: 'left', cell: ({ unit }) => unit },
    ],
    springRows(answer),
  );
  const shelf = answer.ride?.shelf ?? [];
  const springs =
    shelf.length === 0
      ? ''
      : `\n${table(
          [
            { heading: 'On the shelf', align: 'left', cell: ({ spring }) => spring.label },
            {
              heading: 'N/mm',
              align: 'right',
              cell: ({ spring }) => formatNumber(spring.rate_N_per_m / 1e3, 3),
            },
            {
              heading: 'Frequency, %',
              align: 'right',
              cell: ({ frequencyChange_percent }) =>
                `${frequencyChange_percent >= 0 ? '+' : ''}${formatNumber(frequencyChange_percent, 2)}`,
            },
          ],
          shelf,
        )}\n`;
  return `${sentencesReport(sentences)}\n${numbers}\n${springs}\n${wrap(`▲ ${springCaution}`, undefined, '  ')}\n`;
}
