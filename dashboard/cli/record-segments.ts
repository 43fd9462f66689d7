import type {
  Build,
  CalibrationId,
  DriveLimits,
  Logbook,
  Procedure,
  RecordingId,
  RecordingOutcome,
  RigLink,
} from '../../daq/index.js';
import { recordingKeys } from './record-keys.js';
import type { RecordRig } from './record-rig.js';
import { reportRecording } from './recorded-report.js';
import { recordingProgress } from './recording-progress.js';

export interface SegmentsOptions {
  readonly rig: RecordRig;
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly build: Build;
  readonly calibrationId: CalibrationId;
  readonly procedure: Procedure;
  readonly continues: RecordingId | undefined;
  readonly remount: number | undefined;
  readonly limits: DriveLimits;
  /** How long a lost rig is waited for; 0: not at all. */
  readonly reconnect_s: number;
  readonly json: boolean;
  /** Read by the person, on a rig without a sensor. */
  readonly temperature_degC: number | undefined;
  readonly signal: AbortSignal;
  /** Told of the link that takes the place of a lost one, so that it gets closed. */
  readonly onLink: (link: RigLink) => void;
}

/**
 * Records, and goes on in a further segment when the rig was lost and came back. A drive never goes on by itself: it is
 * asked for again by a person who has looked at the rig.
 * @throws CommandFailure (the rig failed) after telling what was kept
 */
export async function recordSegments(options: SegmentsOptions): Promise<void> {
  const { logbook, json, signal, reconnect_s } = options;
  const daq = await import('../../daq/index.js');
  let { link, procedure, continues } = options;
  for (;;) {
    const rigName = link.identity().rigName;
    const outcome = await recordSegment(options, link, procedure, continues);
    const recording = logbook.findRecording(outcome.recordingId)!;
    if (options.temperature_degC !== undefined)
      logbook.enterTemperature(recording.id, options.temperature_degC);
    const { failure } = outcome;
    const mayGoOn =
      failure !== null && daq.MAY_COME_BACK.includes(failure.code) && reconnect_s > 0 && !signal.aborted;
    if (!mayGoOn) return reportRecording(outcome, recording, json);

    process.stderr.write(
      `${failure.message}.\nKept ${outcome.elapsed_s.toFixed(1)} s as recording:${outcome.recordingId}. ` +
        `Waiting up to ${reconnect_s} s for the rig to come back; Ctrl-C ends it.\n`,
    );
    await link.close();
    try {
      link = await options.rig.reopen(rigName, reconnect_s, signal);
    } catch {
      return reportRecording(outcome, recording, json);
    }
    options.onLink(link);
    procedure = daq.remainingProcedure(recording.procedure);
    continues = recording.id;
    if (daq.isDriven(procedure)) {
      if (!process.stdin.isTTY) return reportRecording(outcome, recording, json);
      process.stderr.write('The rig is back, its drive stands. Look at the rig before it goes on.\n');
      await (await import('./cautions.js')).showCautions(signal);
      if (signal.aborted) return reportRecording(outcome, recording, json);
    }
  }
}

async function recordSegment(
  options: SegmentsOptions,
  link: RigLink,
  procedure: Procedure,
  continues: RecordingId | undefined,
): Promise<RecordingOutcome> {
  const { logbook, build, calibrationId, remount, limits, signal } = options;
  const { recordBuild } = await import('../../daq/index.js');
  const byHand = procedure.movedBy === 'hand';
  const progress = recordingProgress(build.name, { byHand });
  const keys = recordingKeys(byHand);
  try {
    return await recordBuild({
      link,
      logbook,
      buildId: build.id,
      calibrationId,
      procedure,
      limits,
      simulated: options.rig.simulated,
      ...(remount !== undefined && { remount }),
      ...(continues !== undefined && { continues }),
      onProgress: progress.show,
      isSkipped: keys.takeNext,
      signal: AbortSignal.any([signal, keys.stop]),
    });
  } finally {
    keys.end();
    progress.clear();
  }
}
