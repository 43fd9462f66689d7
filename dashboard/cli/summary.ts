import { type Command, Option } from 'commander';
import type { Recording } from '../../daq/index.js';
import type { SummaryKey, SummaryRow } from '../tables/index.js';
import { badInput } from './failure.js';
import { settingsOf } from './settings.js';
import type { Source } from './source.js';
import { sayNext, writeDocument } from './terminal.js';

interface SummaryOptions {
  readonly by: SummaryKey;
  readonly csv?: boolean;
  readonly json?: boolean;
}

export function addSummary(program: Command): void {
  program
    .command('summary')
    .description('All remounts of the logbook, summarised by build, oil or piston')
    .addHelpText('after', '\nExample: dashpot-bench summary --by oil --csv > oils.csv')
    .addOption(
      new Option('--by <key>', 'what to group by').choices(['build', 'oil', 'piston']).default('build'),
    )
    .option('--csv', 'as CSV on standard output')
    .option('--json', 'as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await summary(settingsOf<SummaryOptions>(command));
    });
}

async function summary(options: SummaryOptions & { logbook: string }): Promise<void> {
  const [{ summarise, tableCsv }, rows] = await Promise.all([
    import('../tables/index.js'),
    analysedRows(options.logbook),
  ]);
  const { columns, rows: groups } = await summarise(rows, options.by);
  if (options.json) return writeDocument({ by: options.by, rows: groups });
  if (options.csv) {
    process.stdout.write(tableCsv({ columns, rows: groups }));
    return;
  }
  await showTable(groups, options.by);
  sayNext('dashpot-bench start', 'shows builds over each other in the browser');
}

/** Every remount of the logbook, analysed on all cores, as a row of a summary. */
async function analysedRows(logbookPath: string) {
  const [{ openLogbook }, { countedRemounts }, { recordingRow }, { analyzeInOrder }, { analysisProgress }] =
    await Promise.all([
      import('../../daq/index.js'),
      import('../answers/index.js'),
      import('../tables/index.js'),
      import('./analysis-pool.js'),
      import('./analysis-progress.js'),
    ]);
  const logbook = openLogbook(logbookPath, { readOnly: true });
  try {
    const builds = new Map(logbook.listBuilds().map((build) => [build.id, build]));
    const recordings = countedRemounts(logbook.listRecordings());
    if (recordings.length === 0)
      throw badInput('no complete recording of a shock', 'at least one', logbookPath);
    const sources = recordings.map(
      ({ id }): Source => ({ kind: 'recording', label: `recording:${id}`, logbook: logbookPath, id }),
    );
    const progress = analysisProgress(sources);
    const rows = [];
    try {
      for await (const result of analyzeInOrder(sources, progress.onShare)) {
        const recording: Recording = recordings[rows.length]!;
        const properties = builds.get(recording.buildId)?.wholeProperties ?? {};
        rows.push(recordingRow(recording, properties, result.ok ? result.analysis : null));
      }
    } finally {
      progress.end();
    }
    return rows;
  } finally {
    logbook.close();
  }
}

async function showTable(rows: readonly SummaryRow[], by: SummaryKey): Promise<void> {
  const [{ table }, { formatNumber, sentenceCase }] = await Promise.all([
    import('./table.js'),
    import('../wording/index.js'),
  ]);
  const number = (value: number | null, digits: number) =>
    value === null ? '–' : formatNumber(value, digits);
  const text = table<SummaryRow>(
    [
      { heading: 'Quantity', align: 'left', cell: ({ quantity }) => quantity },
      { heading: 'Recordings', align: 'right', cell: ({ n }) => String(n) },
      { heading: 'Mean', align: 'right', cell: ({ mean }) => number(mean, 4) },
      { heading: 'Spread (sd)', align: 'right', cell: ({ sd }) => number(sd, 2) },
    ],
    rows,
    { heading: ({ group }) => group ?? `${sentenceCase(by)} not written down` },
  );
  process.stdout.write(`${text}\n`);
}
