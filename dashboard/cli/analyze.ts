import { type Command, Option } from 'commander';
import type { KnownSpread, ProcedureName } from '../../analysis/index.js';
import type { SourceResult } from './analyze-source.js';
import { exitStatus } from './failure.js';
import { wholeNumber } from './number-options.js';
import { procedureNames } from './record-procedure.js';
import { settingsOf } from './settings.js';
import type { CalibrationVersion, Source } from './source.js';
import { argument, sayNext, style, writeDocument } from './terminal.js';

export function addAnalyze(program: Command): void {
  program
    .command('analyze')
    .description('What each recording shows: drag, breakaway, damping, trapped gas, and what was noticed')
    .addHelpText('after', `\nExample: dashpot-bench analyze draggy-1.csv 'build:soft seal' --json`)
    .argument('<file...>', 'CSV files, build:NAME or recording:ID')
    .option(
      '--calibration <version>',
      "for recordings of the logbook: a version of the rig's calibration, or latest (otherwise their own)",
      calibrationVersion,
    )
    .addOption(
      new Option(
        '--procedure <name>',
        'how the shock was moved (otherwise as recorded, or told from the motion)',
      ).choices(procedureNames),
    )
    .option('--json', 'one JSON document a line, in the order given')
    .action(async (files: string[], _options: unknown, command: Command) => {
      await analyze(files, settingsOf<AnalyzeOptions>(command));
    });
}

interface AnalyzeOptions {
  readonly json?: boolean;
  readonly calibration?: CalibrationVersion;
  readonly procedure?: ProcedureName;
}

function calibrationVersion(text: string): CalibrationVersion {
  return text === 'latest' ? text : wholeNumber('--calibration')(text);
}

type Item = {
  readonly label: string;
  readonly result: SourceResult;
  /** Of the rig that made it, where that is known. */
  readonly known?: KnownSpread | undefined;
};

async function analyze(
  files: readonly string[],
  options: AnalyzeOptions & { readonly logbook: string },
): Promise<void> {
  const show = options.json ? showDocument : await showReport();
  const failures: string[] = [];
  let first: string | null = null;
  for await (const item of analyzeArguments(files, options)) {
    const { label, result } = item;
    if (result.ok) first ??= label;
    else failures.push(result.error);
    await show(item);
  }
  for (const line of failures) process.stderr.write(`${line}\n`);
  if (failures.length > 0) process.exitCode = exitStatus.badInput;
  if (!options.json && first !== null)
    sayNext(
      `dashpot-bench compare --before ${argument(first)} --after OTHER`,
      'tells whether another build differs, and by how much; several files a side are remounts',
    );
}

/** Analyses everything that the arguments name, in their order; what cannot be read stands in its place. */
async function* analyzeArguments(
  files: readonly string[],
  { logbook, calibration, procedure }: AnalyzeOptions & { readonly logbook: string },
): AsyncGenerator<Item> {
  const [{ resolveIn, withLogbookOf }, { spreadBeside }, { analyzeInOrder }, { analysisProgress }] =
    await Promise.all([
      import('./resolve-sources.js'),
      import('./rig-spread.js'),
      import('./analysis-pool.js'),
      import('./analysis-progress.js'),
    ]);
  const { resolved, spreads } = await withLogbookOf(files, logbook, (open) => {
    const resolved = resolveIn(open, files, logbook);
    const all = resolved.flatMap((entry) => (entry.ok ? entry.sources : []));
    return { resolved, spreads: all.map((source) => spreadBeside(open, [source])) };
  });
  const sources: Source[] = resolved
    .flatMap((entry) => (entry.ok ? entry.sources : []))
    .map((source) =>
      calibration === undefined || source.kind === 'file' ? source : { ...source, calibration },
    )
    .map((source) => (procedure === undefined ? source : { ...source, procedure }));
  const progress = analysisProgress(sources);
  const results = analyzeInOrder(sources, progress.onShare);
  try {
    for (const entry of resolved) {
      if (!entry.ok) {
        progress.clear();
        yield { label: entry.label, result: { ok: false, error: entry.error } };
        continue;
      }
      for (const { label } of entry.sources) {
        const { value } = await results.next();
        progress.clear();
        yield { label, result: value as SourceResult, known: spreads.shift() };
      }
    }
  } finally {
    progress.end();
    await results.return(undefined);
  }
}

async function showDocument({ label, result, known }: Item): Promise<void> {
  const { analysisDocument } = await import('./document.js');
  writeDocument(
    result.ok ? analysisDocument(label, result.analysis, known) : { file: label, error: result.error },
  );
}

async function showReport(): Promise<(item: Item) => Promise<void>> {
  const { recordingReport } = await import('./recording-report.js');
  let separator = '';
  return async ({ label, result, known }) => {
    const text = result.ok
      ? recordingReport(label, result.analysis, known)
      : `${style('bold', label)}\nNot analysed, see below.\n`;
    process.stdout.write(separator + text);
    separator = '\n';
  };
}
