import type { ChannelKind } from '../../firmware-protocol/index.js';
import { DaqError, type DaqErrorCode } from '../daq-error.js';
import { speedInRange } from '../link/drive-control.js';
import type { LinkStatistics } from '../link/link-statistics.js';
import { channelOf } from '../link/rig-identity.js';
import type { RigLink } from '../link/rig-link.js';
import type { BuildId, CalibrationId, CalibrationRecord, RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { type HappenedStep, type Procedure, plannedDuration_s } from '../procedures.js';
import { type Capture, capture } from './capture.js';
import { type LiveSamples, liveSamples } from './live-samples.js';

export interface RecordBuildOptions {
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly buildId: BuildId;
  /** The rig's newest where it is left out. */
  readonly calibrationId?: CalibrationId;
  readonly procedure: Procedure;
  /** The next unused number of the build where it is left out. */
  readonly remount?: number;
  /** On a simulated rig: its seed. */
  readonly simulated?: { readonly seed: number } | null;
  /** Time of day, UTC ISO 8601; now where it is left out. */
  readonly startedAt?: string;
  /** Called 30 times per second of device time. */
  readonly onProgress?: (progress: RecordingProgress) => void;
  /** Called as often, with what came since. */
  readonly onSamples?: (samples: LiveSamples) => void;
  /** Ends the recording: as complete where the procedure has no end of its own, else as interrupted. */
  readonly signal?: AbortSignal;
}

export interface RecordingProgress {
  readonly recordingId: RecordingId;
  /** Device time since the first sample. */
  readonly elapsed_s: number;
  /** Null where only its owner knows. */
  readonly planned_s: number | null;
  /** Crank speed asked for; null where nothing drives. */
  readonly speed_rev_per_s: number | null;
  readonly samples: Readonly<Record<ChannelKind, number>>;
  readonly linesMissing: number;
}

export interface RecordingOutcome {
  readonly recordingId: RecordingId;
  readonly state: 'complete' | 'interrupted';
  /** Why it is interrupted, in words; empty otherwise. */
  readonly reason: string;
  /** What failed, where something did. The samples up to then are in the logbook. */
  readonly failure: DaqError | null;
  readonly elapsed_s: number;
  readonly samples: Readonly<Record<ChannelKind, number>>;
  readonly statistics: LinkStatistics;
}

/**
 * Records one build under a procedure into the logbook, in blocks durable every half second of device time.
 * Whatever happens on the way, the drive is told to halt and the recording is ended in the logbook.
 * @returns what became of it; a rig that fails leaves an interrupted recording, with the failure beside it
 * @throws DaqError before anything is written: 'unknown-name', 'no-calibration', 'no-channel', 'no-drive',
 *   'speed-out-of-range'; the rig's failure when it fails before its first sample (the recording is discarded)
 */
export async function recordBuild(options: RecordBuildOptions): Promise<RecordingOutcome> {
  const { link, logbook, procedure } = options;
  const calibration = checked(options);
  const identity = link.identity();
  const recordingId = logbook.startRecording({
    buildId: options.buildId,
    rigId: logbook.rigNamed(identity.rigName),
    calibrationId: calibration.id,
    procedure: { ...procedure, happened: [], events: [] },
    ...(options.remount !== undefined && { remount: options.remount }),
    startedAt: options.startedAt ?? new Date().toISOString(),
    identity,
    simulated: Boolean(options.simulated),
    seed: options.simulated?.seed ?? null,
  });
  const happened: OpenStep[] = [];
  const captured = capture(link, {
    keep: (channels) => logbook.appendBlocks(recordingId, channels),
    look(channels, first_us) {
      options.onSamples?.(liveSamples(channels, calibration.calibration, identity, first_us));
      options.onProgress?.({
        recordingId,
        elapsed_s: captured.elapsed_s(),
        planned_s: plannedDuration_s(procedure),
        speed_rev_per_s: happened.at(-1)?.speed_rev_per_s ?? null,
        samples: { ...captured.samples },
        linesMissing: link.statistics().linesMissing,
      });
    },
  });

  const over = new AbortController();
  const failures: unknown[] = [];
  const note = (failure: unknown) => void failures.push(failure);
  const wasStopped = await Promise.race([
    link.startSampling().then(() => run(link, procedure, captured, happened, over.signal)),
    captured.broken,
    aborted(options.signal, over.signal),
  ]).catch(note);
  over.abort();
  if (identity.drive) await link.haltDrive().catch(note);
  const statistics = (await link.stopSampling().catch(note)) ?? link.statistics();
  try {
    captured.end();
  } catch (failure) {
    note(failure);
  }
  const elapsed_s = captured.elapsed_s();
  const last = happened.at(-1);
  if (last) last.end_s = elapsed_s;

  const failure = failures.length > 0 ? inWords(failures[0], logbook.path) : null;
  const cutShort = wasStopped === true && plannedDuration_s(procedure) !== null;
  const state = failure || cutShort ? 'interrupted' : 'complete';
  const reason = failure?.message ?? (cutShort ? 'stopped before its end' : '');
  const isEmpty = Object.values(captured.samples).every((count) => count === 0);
  logbook.finishRecording(recordingId, {
    state: isEmpty ? 'discarded' : state,
    reason,
    procedure: { ...procedure, happened, events: captured.events },
    statistics,
  });
  if (failure && (isEmpty || !(failure instanceof DaqError))) throw failure;
  return { recordingId, state, reason, failure, elapsed_s, samples: captured.samples, statistics };
}

type OpenStep = { -readonly [Key in keyof HappenedStep]: HappenedStep[Key] };

/** Runs the steps, or waits; a procedure without an end waits for ever. Starts no step once it is `over`. */
async function run(
  link: RigLink,
  { steps, duration_s }: Procedure,
  captured: Capture,
  happened: OpenStep[],
  over: AbortSignal,
): Promise<false> {
  const moves = steps.length > 0 ? steps : [{ speed_rev_per_s: null, duration_s: duration_s ?? Infinity }];
  let end_s = 0;
  for (const { speed_rev_per_s, duration_s } of moves) {
    if (over.aborted) break;
    if (speed_rev_per_s !== null) await link.setDriveSpeed(speed_rev_per_s);
    const start_s = captured.elapsed_s();
    end_s += duration_s;
    const step: OpenStep = { speed_rev_per_s, start_s, end_s: start_s };
    happened.push(step);
    await captured.reaches(end_s);
    step.end_s = captured.elapsed_s();
  }
  return false;
}

function aborted(signal: AbortSignal | undefined, over: AbortSignal): Promise<true> {
  return new Promise((resolve) => {
    if (signal?.aborted) resolve(true);
    else signal?.addEventListener('abort', () => resolve(true), { signal: over });
  });
}

/** Refuses what cannot be recorded while nothing has been written yet. */
function checked({
  link,
  logbook,
  buildId,
  calibrationId,
  procedure,
}: RecordBuildOptions): CalibrationRecord {
  const identity = link.identity();
  if (!logbook.listBuilds().some(({ id }) => id === buildId))
    throw refusal('unknown-name', 'build', `build ${buildId}, which is not there`, 'a build of this logbook');
  for (const kind of ['force', 'position'] as const)
    if (!channelOf(identity, kind))
      throw refusal('no-channel', link.path, `rig '${identity.rigName}' without a ${kind} channel`, 'both');
  for (const { speed_rev_per_s } of procedure.steps) speedInRange(speed_rev_per_s, identity, link.path);
  const rigId = logbook.findRig(identity.rigName);
  const calibration =
    calibrationId !== undefined
      ? logbook.findCalibration(calibrationId)
      : rigId && logbook.calibrationInForce(rigId);
  if (!calibration)
    throw refusal(
      'no-calibration',
      link.path,
      `rig '${identity.rigName}', not calibrated yet`,
      'a calibration of it',
    );
  return calibration;
}

function refusal(code: DaqErrorCode, where: string, found: string, wanted: string): DaqError {
  return new DaqError(code, { where, found, wanted });
}

/** A full disk is the environment's; anything else that is not ours already is a bug and stays what it is. */
function inWords(failure: unknown, path: string): DaqError {
  const { code, message } = failure as NodeJS.ErrnoException;
  if (!code?.startsWith('SQLITE_')) return failure as DaqError;
  return new DaqError(
    'logbook-unwritable',
    { where: path, found: `a logbook that takes no more (${message})`, wanted: 'room on the disk' },
    { cause: failure },
  );
}
