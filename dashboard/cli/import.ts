import { existsSync } from 'node:fs';
import { type Command, Option } from 'commander';
import type { Procedure, RecordingId } from '../../daq/index.js';
import { addBuildOptions, type BuildOptions } from './build-options.js';
import { badInput, exitStatus } from './failure.js';
import type { ImportEntry } from './import-entries.js';
import { wholeNumber } from './number-options.js';
import { procedureNames } from './record-procedure.js';
import { settingsOf } from './settings.js';
import { argument, say, sayNext, writeDocument } from './terminal.js';

interface ImportOptions extends Partial<BuildOptions> {
  readonly remount?: number;
  readonly procedure: Procedure['name'];
  readonly json?: boolean;
  readonly logbook: string;
}

export function addImport(program: Command): void {
  const command = program
    .command('import')
    .description('Put recordings from files into the logbook, all of the files or none')
    .addHelpText(
      'after',
      `\nExample: dashpot-bench import old-1.csv old-2.csv --build 'old seal' --oil-cst 350`,
    )
    .argument('<file...>', 'CSV files, each a mounting of its own, or folders that `export` made')
    .option('--build <name>', 'the build that the CSV files show; a folder names its own')
    .option(
      '--remount <number>',
      'which mounting of the shock all of the CSV files are',
      wholeNumber('--remount'),
    )
    .addOption(
      new Option('--procedure <name>', 'how the shock was moved').choices(procedureNames).default('unknown'),
    )
    .option('--json', 'one JSON document a file, in the order given');
  addBuildOptions(command).action(async (files: string[], _options: unknown, self: Command) => {
    await importFiles(files, settingsOf<ImportOptions>(self));
  });
}

async function importFiles(files: readonly string[], options: ImportOptions): Promise<void> {
  const { readImportEntry } = await import('./import-entries.js');
  const entries: ImportEntry[] = [];
  for (const file of files) entries.push(await readImportEntry(file));
  const errors = entries.flatMap((entry) => (entry.kind === 'bad' ? [entry.error] : []));
  const ids = errors.length > 0 ? null : await enter(entries, options);
  if (options.json)
    entries.forEach((entry, i) => {
      const { file } = entry;
      writeDocument(
        entry.kind === 'bad' ? { file, error: entry.error } : { file, recordingId: ids?.[i] ?? null },
      );
    });
  for (const error of errors) process.stderr.write(`${error}\n`);
  if (ids === null) process.exitCode = exitStatus.badInput;
  else if (!options.json) await sayImported(ids);
}

/** Enters all recordings, with the build when it is new, in one go. */
async function enter(entries: readonly ImportEntry[], options: ImportOptions): Promise<RecordingId[]> {
  const [{ openLogbook }, { planBuild, enterBuild }, { enterImport }] = await Promise.all([
    import('../../daq/index.js'),
    import('./build-options.js'),
    import('./import-entries.js'),
  ]);
  const { build, remount, procedure } = options;
  const needsBuild = entries.find((entry) => entry.kind === 'csv');
  if (needsBuild && build === undefined)
    throw badInput('no --build', 'the name of the build that this file shows', needsBuild.file);
  // A logbook is made only when there is something to write into it.
  let logbook = existsSync(options.logbook) ? openLogbook(options.logbook) : null;
  try {
    const plan = needsBuild && build !== undefined ? planBuild(logbook, { ...options, build }) : null;
    logbook ??= openLogbook(options.logbook);
    const target = logbook;
    return target.inOneGo(() => {
      const buildId = plan && enterBuild(target, plan).id;
      return entries.map((entry) => enterImport(target, entry, { buildId, procedure, remount }));
    });
  } finally {
    logbook?.close();
  }
}

async function sayImported(ids: readonly RecordingId[]): Promise<void> {
  const names = ids.map((id) => `recording:${id}`);
  const range = names.length > 2 ? `${names[0]} to ${names.at(-1)}` : names.join(' and ');
  const { count, sentenceCase } = await import('../wording/index.js');
  say(`${sentenceCase(count(ids.length, 'recording'))} in the logbook: ${range}.`);
  sayNext(`dashpot-bench analyze ${names.map(argument).join(' ')}`, 'shows what they found');
}
