import { existsSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type Command, Option } from 'commander';
import type { ExportedRecording, Logbook, Recording, RecordingId } from '../../daq/index.js';
import { badInput, exitStatus } from './failure.js';
import { settingsOf } from './settings.js';
import { parseArgument } from './source.js';
import { argument, say, sayNext, writeDocument } from './terminal.js';

interface ExportOptions {
  readonly to: string;
  readonly format: 'csv' | 'bundle';
  readonly all?: boolean;
  readonly json?: boolean;
  readonly logbook: string;
}

export function addExport(program: Command): void {
  program
    .command('export')
    .description('Write recordings of the logbook to files; nothing is ever overwritten')
    .addHelpText('after', `\nExample: dashpot-bench export 'build:new seal' --format bundle --to archive`)
    .argument('[recording...]', 'recording:ID or build:NAME')
    .option(
      '--all',
      'the whole logbook, as a bundle of each recording and an index; --to must be a new folder',
    )
    .option('--to <folder>', 'where the files go; - writes the CSV of one recording to standard output', '.')
    .addOption(
      new Option(
        '--format <format>',
        'csv for a spreadsheet, with what is known of it as JSON beside it; bundle for the exact recording',
      )
        .choices(['csv', 'bundle'])
        .default('csv'),
    )
    .option('--json', 'what was written as one JSON document')
    .action(async (names: string[], _options: unknown, command: Command) => {
      await exportRecordings(names, settingsOf<ExportOptions>(command));
    });
}

async function exportRecordings(names: readonly string[], options: ExportOptions): Promise<void> {
  const daq = await import('../../daq/index.js');
  const { namedRecordings } = await import('./resolve-sources.js');
  if (options.all ? names.length > 0 || options.to === '.' : names.length === 0)
    throw badInput(
      options.all ? '--all with names, or without a new folder' : 'no recording',
      'recording:ID or build:NAME, or --all --to FOLDER',
    );
  const logbook = daq.openLogbook(options.logbook, { readOnly: true });
  try {
    if (options.all) {
      await reportAll(await daq.exportLogbook(logbook, options.to), options);
      return;
    }
    const recordings = names.flatMap((name) => {
      const named = parseArgument(name);
      if (named.kind === 'file') throw badInput(`'${name}'`, 'recording:ID or build:NAME of the logbook');
      return namedRecordings(logbook, named);
    });
    if (options.to === '-') {
      await toStandardOutput(logbook, recordings, options);
      return;
    }
    const targets = recordings.map(({ id }) => ({ id, path: targetPath(id, options) }));
    const taken = targets.find(({ path }) => existsSync(path) || existsSync(path.replace(/\.csv$/, '.json')));
    if (taken)
      throw badInput('it is there already', 'a folder without it; nothing is overwritten', taken.path);
    await mkdir(options.to, { recursive: true });
    for (const { id, path } of targets)
      if (options.format === 'bundle') await daq.exportBundle(logbook, id, path);
      else {
        await daq.writeTraceCsv(path, logbook.readRecording(id).trace);
        await writeProvenance(logbook, id, path, daq);
      }
    report(targets, options);
  } finally {
    logbook.close();
  }
}

/** What is known of a recording, beside its CSV: units, rig, calibration, procedure. */
async function writeProvenance(
  logbook: Logbook,
  id: RecordingId,
  csv: string,
  { describeRecording }: typeof import('../../daq/index.js'),
): Promise<void> {
  const columns = { time_s: 's', displacement_mm: 'mm', force_N: 'N', temperature_degC: '°C' };
  const known = describeRecording(logbook, id, logbook.readChannels(id));
  const file = { file: basename(csv), columns, ...known, format: 'dashpot-bench description of a CSV' };
  await writeFile(csv.replace(/\.csv$/, '.json'), `${JSON.stringify(file, null, 2)}\n`, { flag: 'wx' });
}

async function reportAll(exported: readonly ExportedRecording[], { to, json }: ExportOptions): Promise<void> {
  const lost = exported.filter(({ folder }) => folder === null);
  if (lost.length > 0) process.exitCode = exitStatus.answerIsNo;
  if (json) {
    writeDocument({ folder: to, recordings: exported });
    return;
  }
  const { count } = await import('../wording/index.js');
  say(`${to} holds ${count(exported.length - lost.length, 'recording')} and an index, logbook.json.`);
  for (const { recordingId, reason } of lost) say(`recording:${recordingId} is not in it: ${reason}`);
  sayNext('dashpot-bench backup FILE', 'copies the logbook itself, with all that only this program can read');
}

function targetPath(id: number, { to, format }: ExportOptions): string {
  return join(to, format === 'csv' ? `recording-${id}.csv` : `recording-${id}`);
}

async function toStandardOutput(
  logbook: Logbook,
  recordings: readonly Recording[],
  { format, json }: ExportOptions,
): Promise<void> {
  const [only, ...more] = recordings;
  if (!only || more.length > 0 || format !== 'csv' || json)
    throw badInput('--to - for more than the CSV of one recording', 'a folder');
  const { traceCsv } = await import('../../daq/index.js');
  for (const text of traceCsv(logbook.readRecording(only.id).trace))
    if (!process.stdout.write(text)) await new Promise((resume) => process.stdout.once('drain', resume));
}

function report(targets: readonly { id: number; path: string }[], { format, json }: ExportOptions): void {
  if (json) {
    writeDocument({ written: targets.map(({ id, path }) => ({ recordingId: id, path })) });
    return;
  }
  say(...targets.map(({ id, path }) => `recording:${id} is in ${path}`));
  const [first] = targets;
  const [verb, why] =
    format === 'csv'
      ? ['analyze', 'reads the file as it would the recording']
      : ['import', 'puts the recording, exactly as it is, into a logbook (here or on another machine)'];
  sayNext(`dashpot-bench ${verb} ${argument(first!.path)}`, why);
}
