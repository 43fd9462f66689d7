import type { KnownSpread } from '../../analysis/index.js';
import { type NamedBuild, pairsAnswer } from '../answers/index.js';
import { matchRows, pairsSentences } from '../wording/index.js';
import { badInput } from './failure.js';
import { sentencesReport } from './sentences-report.js';
import { table } from './table.js';
import { sayNext, writeDocument } from './terminal.js';

/**
 * Which shocks of a set belong together, for a person or as JSON.
 * @throws CommandFailure where they cannot be paired
 */
export function showPairs(
  shocks: readonly NamedBuild[],
  known: KnownSpread | undefined,
  json: boolean,
): void {
  const outcome = pairsAnswer({ shocks, kind: 'total', known });
  if (!outcome.ok)
    throw badInput(outcome.refusal.found, outcome.refusal.wanted, outcome.name ?? 'compare --pairs');
  const { answer } = outcome;
  if (json) {
    writeDocument(answer);
    return;
  }
  const rows = table(
    [
      { heading: 'Two of the set', align: 'left', cell: ({ pair }) => pair },
      { heading: 'Mismatch, %', align: 'right', cell: ({ mismatch }) => mismatch },
      { heading: 'Largest difference', align: 'right', cell: ({ worst }) => worst },
      { heading: 'Where', align: 'left', cell: ({ where }) => where },
      { heading: 'Told apart', align: 'left', cell: ({ apart }) => apart },
    ],
    matchRows(answer),
  );
  process.stdout.write(`${sentencesReport(pairsSentences(answer))}\n${rows}\n`);
  sayNext('dashpot-bench start', 'shows the shocks over each other in the browser');
}
