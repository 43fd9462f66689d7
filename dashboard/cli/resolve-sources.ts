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
 * @param logbookPath opened, for reading only, when a build or a recording is named
 */
export async function resolveSources(
  texts: readonly string[],
  logbookPath: string,
  standing: Standing = remounts,
): Promise<Resolved[]> {
  const named = texts.map((label) => ({ label, argument: parseArgument(label) }));
  if (named.every(({ argument }) => argument.kind === 'file'))
    return named.map(({ label, argument }) => resolve(label, argument, null, logbookPath, standing));

  const { openLogbook } = await import('../../daq/index.js');
  const logbook = openLogbook(logbookPath, { readOnly: true });
  try {
    return named.map(({ label, argument }) => resolve(label, argument, logbook, logbookPath, standing));
  } finally {
    logbook.close();
  }
}

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
