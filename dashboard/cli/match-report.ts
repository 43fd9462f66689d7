import type { MatchAnswer } from '../answers/index.js';
import { judgedRows } from '../wording/index.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';

const headings = { damping: 'Damping', total: 'Total force' } as const;

/** A verdict for a person: sentences, then the speeds. */
export function matchReport(answer: MatchAnswer, sentences: readonly string[]): string {
  const numbers = table(
    [
      { heading: headings[answer.kind], align: 'left', cell: ({ speed }) => `  at ${speed}` },
      { heading: 'Target, N', align: 'right', cell: ({ target }) => target },
      { heading: 'Deviation, % (± 95 %)', align: 'right', cell: ({ deviation }) => deviation },
      { heading: 'Allowed, %', align: 'right', cell: ({ allowed }) => allowed },
      { heading: 'Verdict', align: 'left', cell: ({ verdict }) => verdict },
    ],
    judgedRows(answer),
    { heading: ({ direction }) => direction },
  );
  return `${sentencesReport(sentences)}\n${numbers}\n`;
}
