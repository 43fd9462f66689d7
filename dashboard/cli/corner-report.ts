import type { CornerAnswer } from '../answers/index.js';
import { type CornerRow, cornerRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';

/** A corner for a person: sentences, then one line a build and pack. */
export function cornerReport(answer: CornerAnswer, sentences: readonly string[]): string {
  const lands = answer.corners.some(({ landing }) => landing !== null);
  const numbers = table<CornerRow>(
    [
      { heading: 'Corner', align: 'left', cell: ({ corner }) => corner },
      { heading: 'Sag, mm', align: 'right', cell: ({ sag }) => sag },
      { heading: 'Rides at, Hz', align: 'right', cell: ({ frequency }) => frequency },
      { heading: 'Ratio, 50 mm/s', align: 'right', cell: ({ slow }) => slow },
      { heading: '200 mm/s', align: 'right', cell: ({ fast }) => fast },
      ...(lands
        ? [{ heading: 'Landing, mm', align: 'right' as const, cell: ({ landing }: CornerRow) => landing }]
        : []),
    ],
    cornerRows(answer),
  );
  return `${sentencesReport(sentences)}\n${numbers}\n`;
}
