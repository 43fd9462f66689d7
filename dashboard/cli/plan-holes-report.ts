import type { HoleAnswer } from '../answers/index.js';
import { drillingCaution, drillRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { style, wrap } from './terminal.js';

/** A plan for a person: sentences, then the drills, then what can hurt. */
export function holeReport(answer: HoleAnswer, sentences: readonly string[]): string {
  const rows = drillRows(answer);
  if (rows.length === 0) return sentencesReport(sentences);
  const owned = rows.some(({ shelf }) => shelf !== '');
  const numbers = table(
    [
      { heading: 'Drill', align: 'left', cell: ({ name }) => name },
      { heading: 'mm', align: 'right', cell: ({ diameter }) => diameter },
      ...(owned
        ? [{ heading: 'Shelf', align: 'left', cell: ({ shelf }: (typeof rows)[number]) => shelf } as const]
        : []),
      { heading: 'Largest deviation foretold', align: 'left', cell: ({ worst }) => worst },
      { heading: 'Oil back', align: 'right', cell: ({ bringsBack }) => bringsBack },
    ],
    rows,
  );
  const caution = style('yellow', wrap(`▲ ${drillingCaution}`, undefined, '  '));
  return `${sentencesReport(sentences)}\n${numbers}\n\n${caution}\n`;
}
