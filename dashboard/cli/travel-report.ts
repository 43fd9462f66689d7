import type { TravelAnswer } from '../answers/index.js';
import { sweepCaution, travelRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { wrap } from './terminal.js';

/** A shock's travel for a person: sentences, the numbers, what can hurt. */
export function travelReport(answer: TravelAnswer, sentences: readonly string[]): string {
  const numbers = table(
    [
      { heading: 'Quantity', align: 'left', cell: ({ quantity }) => quantity },
      { heading: 'Value (± 95 %)', align: 'right', cell: ({ value }) => value },
      { heading: 'Unit', align: 'left', cell: ({ unit }) => unit },
    ],
    travelRows(answer),
  );
  return `${sentencesReport(sentences)}\n${numbers}\n\n${wrap(`▲ ${sweepCaution}`, undefined, '  ')}\n`;
}
