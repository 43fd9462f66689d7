import type { ChannelKind } from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';
import type { DriveHolder } from '../link/drive-control.js';
import type { LinkStatistics } from '../link/link-statistics.js';
import type { RigLink } from '../link/rig-link.js';
import type { BuildId, CalibrationId, RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { type Procedure, plannedDuration_s } from '../procedures.js';
import { capture } from './capture.js';
import { type LiveSamples, liveSamples } from './live-samples.js';
import { type DriveLimits, noLimits } from './load-watch.js';
import { refuseImpossible } from './refuse-impossible.js';
import { type OpenStep, runSteps, type StepNow } from './run-steps.js';

export interface RecordBuildOptions {
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly buildId: BuildId;
  /** The rig's newest where it is left out. */
  readonly calibrationId?: CalibrationId;
  readonly procedure: Procedure;
  /** The next unused number of the build where it is left out. */
  readonly remount?: number;
  /** The recording of which this is a further segment: its mounting goes on. */
  readonly continues?: RecordingId;
  /** Past which the host halts the drive, after the firmware should have; none where they are left out. */
  readonly limits?: DriveLimits;
  /** Whether whoever started the drive is still there; the process itself where it is left out. */
  readonly isDriveHeld?: DriveHolder;
  /** By hand: asked after every sample whether the person wants the next step. */
  readonly isSkipped?: () => boolean;
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
  /** Crank speed asked for; null where none is. */
  readonly speed_rev_per_s: number | null;
  /** The step of the procedure; null where it has none. */
  readonly step: StepNow | null;
  /** Speed of the crank as its position shows it, whoever turns it; null before it made a stroke. */
  readonly crank_rev_per_s: number | null;
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
 * Records one build under a procedure into the logbook, in blocks durable every three quarters of a second of device
 * time.
 * Whatever happens on the way, the drive is told to halt and the recording is ended in the logbook.
 * @returns what became of it; a rig that fails leaves an interrupted recording, with the failure beside it
 * @throws DaqError before anything is written: 'unknown-name', 'no-calibration', 'no-channel', 'no-drive',
 *   'speed-out-of-range'; the rig's failure when it fails before its first sample (the recording is discarded)
 */
export async function recordBuild(options: RecordBuildOptions): Promise<RecordingOutcome> {
  const { link, logbook, procedure } = options;
  const calibration = refuseImpossible(options);
  const identity = link.identity();
  const recordingId = logbook.startRecording({
    buildId: options.buildId,
    rigId: logbook.rigNamed(identity.rigName),
    calibrationId: calibration.id,
    procedure: { ...procedure, happened: [], events: [] },
    ...(options.remount !== undefined && { remount: options.remount }),
    ...(options.continues !== undefined && { continues: options.continues }),
    startedAt: options.startedAt ?? new Date().toISOString(),
    identity,
    simulated: Boolean(options.simulated),
    seed: options.simulated?.seed ?? null,
  });
  const happened: OpenStep[] = [];
  let step: StepNow | null = null;
  const captured = capture(link, calibration.calibration, options.limits ?? noLimits, {
    keep: (channels) => logbook.appendBlocks(recordingId, channels),
    look(channels, first_us) {
      options.onSamples?.(liveSamples(channels, calibration.calibration, identity, first_us));
      options.onProgress?.({
        recordingId,
        elapsed_s: captured.elapsed_s(),
        planned_s: plannedDuration_s(procedure),
        speed_rev_per_s: happened.at(-1)?.speed_rev_per_s ?? null,
        step,
        crank_rev_per_s: captured.speed_rev_per_s(),
        samples: { ...captured.samples },
        linesMissing: link.statistics().linesMissing,
      });
    },
  });

  const over = new AbortController();
  const failures: unknown[] = [];
  const note = (failure: unknown) => void failures.push(failure);
  const wasStopped = await Promise.race([
    link.startSampling().then(() =>
      runSteps({
        link,
        procedure,
        captured,
        isDriveHeld: options.isDriveHeld ?? (() => true),
        isSkipped: options.isSkipped ?? (() => false),
        over: over.signal,
        happened,
        onStep: (now) => {
          step = now;
        },
      }),
    ),
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
  if (last && wasStopped !== false) last.end_s = elapsed_s;

  const failure = failures.length > 0 ? inWords(failures[0], logbook.path) : null;
  const hasEnd = procedure.steps.length > 0 || procedure.duration_s !== null;
  const cutShort = wasStopped === true && hasEnd;
  const state = failure || cutShort ? 'interrupted' : 'complete';
  const reason = failure?.message ?? (cutShort ? 'stopped before its end' : '');
  const isEmpty = Object.values(captured.samples).every((count) => count === 0);
  try {
    logbook.finishRecording(recordingId, {
      state: isEmpty ? 'discarded' : state,
      reason,
      procedure: { ...procedure, happened, events: captured.events },
      statistics,
    });
  } catch (error) {
    // Where not even the end can be entered, the next program enters it: what was captured is there all the same.
    throw failure ?? inWords(error, logbook.path);
  }
  if (failure && (isEmpty || !(failure instanceof DaqError))) throw failure;
  return { recordingId, state, reason, failure, elapsed_s, samples: captured.samples, statistics };
}

function aborted(signal: AbortSignal | undefined, over: AbortSignal): Promise<true> {
  return new Promise((resolve) => {
    if (signal?.aborted) resolve(true);
    else signal?.addEventListener('abort', () => resolve(true), { signal: over });
  });
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
