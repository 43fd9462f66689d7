import type { Logbook, Recording, RecordingId } from '../../daq/index.js';
import { countedRemounts } from '../answers/index.js';
import { badInput, type CommandFailure, exitStatus } from './failure.js';
import { reportOf } from './report-error.js';
import { type Argument, parseArgument, type Source } from './source.js';

/** What an argument stands for: its recordings, or the line to put in their place. */
export type Resolved =
  | { readonly ok: true; readonly sources: readonly Source[] }
  | { readonly ok: false; readonly label: string; readonly error: string };

/** Which of a build's recordings it stands for, and what they are called. */
export interface Standing {
  readonly of: (recordings: readonly Recording[]) => readonly Recording[];
  readonly called: string;
}

const remounts: Standing = { of: countedRemounts, called: 'complete and of a shock' };

/**
 * Turns FILE arguments into recordings, in their order. A build stands for its remounts, or for what `standing` says.
 * @param texts the arguments as typed
 */
export const resolveSources = (
  texts: readonly string[],
  logbookPath: string,
  standing?: Standing,
): Promise<Resolved[]> =>
  withLogbookOf(texts, logbookPath, (logbook) => resolveIn(logbook, texts, logbookPath, standing));

/** Opens the logbook, for reading only and once, where an argument names a build or a recording; null where none does. */
export async function withLogbookOf<Result>(
  texts: readonly string[],
  path: string,
  use: (logbook: Logbook | null) => Result,
): Promise<Result> {
  if (texts.every((text) => parseArgument(text).kind === 'file')) return use(null);
  const { openLogbook } = await import('../../daq/index.js');
  const logbook = openLogbook(path, { readOnly: true });
  try {
    return use(logbook);
  } finally {
    logbook.close();
  }
}

/** The same as `resolveSources` in a logbook that is open. */
export const resolveIn = (
  logbook: Logbook | null,
  texts: readonly string[],
  logbookPath: string,
  standing = remounts,
): Resolved[] => texts.map((label) => resolve(label, parseArgument(label), logbook, logbookPath, standing));

function resolve(
  label: string,
  argument: Argument,
  logbook: Logbook | null,
  logbookPath: string,
  standing: Standing,
): Resolved {
  if (argument.kind === 'file') return { ok: true, sources: [{ kind: 'file', label, path: argument.path }] };
  try {
    const recordings =
      argument.kind === 'build'
        ? standingFor(logbook!, argument.name, standing)
        : namedRecordings(logbook!, argument);
    const sources = recordings.map(
      ({ id }): Source => ({ kind: 'recording', label: `recording:${id}`, logbook: logbookPath, id }),
    );
    return { ok: true, sources };
  } catch (error) {
    const report = reportOf(error);
    if (report.status === exitStatus.fault) throw error;
    return { ok: false, label, error: report.line };
  }
}

/**
 * All recordings that an argument names, interrupted ones as well.
 * @throws CommandFailure where there are none
 */
export function namedRecordings(
  logbook: Logbook,
  named: Exclude<Argument, { kind: 'file' }>,
): readonly Recording[] {
  if (named.kind === 'recording') return [recordingOf(logbook, named.id)];
  const build = logbook.findBuild(named.name);
  if (!build) throw unknownBuild(logbook, named.name);
  const recordings = logbook.listRecordings({ buildId: build.id });
  if (recordings.length === 0) throw badInput('no recordings', 'at least one', `build:${named.name}`);
  return recordings;
}

function recordingOf(logbook: Logbook, id: number): Recording {
  const recording = logbook.findRecording(id as RecordingId);
  if (recording) return recording;
  const last = logbook.listRecordings().at(-1);
  throw badInput(
    'no such recording',
    last
      ? `a number of the logbook, such as recording:${last.id}`
      : 'a logbook with recordings; this one has none',
    `recording:${id}`,
  );
}

/** Those of a build's recordings that it stands for. */
function standingFor(logbook: Logbook, name: string, { of, called }: Standing): readonly Recording[] {
  const all = namedRecordings(logbook, { kind: 'build', name });
  const standing = of(all);
  if (standing.length > 0) return standing;
  throw badInput(`${all.length} recordings, none of them ${called}`, 'at least one', `build:${name}`);
}

/** A build that is not in the logbook; says which ones are. */
function unknownBuild(logbook: Logbook, name: string): CommandFailure {
  const names = logbook.listBuilds().map((build) => `'${build.name}'`);
  const shown = names.slice(-5).join(', ');
  return badInput(
    'no such build',
    names.length === 0
      ? 'a logbook with builds; this one is empty'
      : `one of ${shown}${names.length > 5 ? ', …' : ''}`,
    `build:${name}`,
  );
}
