import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import type { TraceInput } from '../../analysis/index.js';
import {
  type BuildId,
  type Bundle,
  type ImportedChannel,
  importBundle,
  type Logbook,
  type Procedure,
  type RecordingId,
  readBundle,
  readTraceCsv,
} from '../../daq/index.js';
import { exitStatus } from './failure.js';
import { reportOf } from './report-error.js';

/** What a path holds that can be imported, or the line that says why it cannot. */
export type ImportEntry =
  | { readonly kind: 'csv'; readonly file: string; readonly trace: TraceInput; readonly modifiedAt: string }
  | { readonly kind: 'bundle'; readonly file: string; readonly bundle: Bundle }
  | { readonly kind: 'bad'; readonly file: string; readonly error: string };

/** Reads a CSV file, or the bundle in a folder. */
export async function readImportEntry(file: string): Promise<ImportEntry> {
  try {
    const about = await stat(file).catch(() => null);
    if (about?.isDirectory()) return { kind: 'bundle', file, bundle: await readBundle(file) };
    const { trace } = await readTraceCsv(file);
    return { kind: 'csv', file, trace, modifiedAt: about!.mtime.toISOString() };
  } catch (error) {
    const { status, line } = reportOf(error);
    if (status === exitStatus.fault) throw error;
    return { kind: 'bad', file, error: line };
  }
}

export interface ImportChoices {
  /** Where CSV files go; a bundle names its own build. */
  readonly buildId: BuildId | null;
  readonly procedure: Procedure['name'];
  readonly remount?: number | undefined;
}

/** Enters what was read. */
export function enterImport(logbook: Logbook, entry: ImportEntry, choices: ImportChoices): RecordingId {
  if (entry.kind === 'bundle') return importBundle(logbook, entry.bundle);
  if (entry.kind === 'bad' || choices.buildId === null) throw new Error(`${entry.file} cannot be entered`);
  return logbook.importRecording(
    {
      buildId: choices.buildId,
      procedure: { name: choices.procedure, steps: [], duration_s: null, happened: [], events: [] },
      ...(choices.remount !== undefined && { remount: choices.remount }),
      // A file does not say when it was recorded; when it was last written is the nearest there is.
      startedAt: entry.modifiedAt,
      source: basename(entry.file),
    },
    channelsOf(entry.trace),
  );
}

function channelsOf({ force, position, temperature }: TraceInput): ImportedChannel[] {
  const channels: ImportedChannel[] = [
    { kind: 'force', unit: 'N', times_s: force.time_s, values: force.force_N },
    { kind: 'position', unit: 'm', times_s: position.time_s, values: position.position_m },
  ];
  if (temperature) {
    const { time_s: times_s, temperature_degC: values } = temperature;
    channels.push({ kind: 'temperature', unit: 'degC', times_s, values });
  }
  return channels;
}
