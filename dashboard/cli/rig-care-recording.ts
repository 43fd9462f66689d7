import { existsSync } from 'node:fs';
import {
  type BuildId,
  byHand,
  driveLimitsOf,
  type Logbook,
  openLogbook,
  type Procedure,
  type RecordingId,
  type RigIdentity,
  recordBuild,
} from '../../daq/index.js';
import { testPieces } from '../../daq/simulated-rig/index.js';
import { badInput, CommandFailure, exitStatus } from './failure.js';
import type { LedRig } from './lead-at-rig.js';
import { recordingProgress } from './recording-progress.js';
import { PRACTICE_SEED } from './rig-at-port.js';
import { parseArgument } from './source.js';

/** Shock under whose name test pieces stand in the logbook. */
const RIG_CARE = 'rig care';

/** The speeds of a drive's run, kept within what drive and profile allow; whole turns by hand where there is no drive. */
export function careProcedure(
  { drive }: RigIdentity,
  name: Procedure['name'],
  speeds_rev_per_s: readonly number[],
  turns: number,
  fastest_rev_per_s = Number.POSITIVE_INFINITY,
): Procedure {
  if (!drive) return { ...byHand(speeds_rev_per_s, turns), name };
  const [slowest, fastest] = [
    drive.speedMin_mHz / 1000,
    Math.min(drive.speedMax_mHz / 1000, fastest_rev_per_s),
  ];
  const within = [...new Set(speeds_rev_per_s.map((speed) => Math.min(fastest, Math.max(slowest, speed))))];
  const steps = within.map((speed) => ({ speed_rev_per_s: speed, duration_s: 1.5 + turns / speed }));
  return { name, steps, duration_s: null };
}

/** The build that a test piece is, entered when it is new. */
export function pieceNamed(logbook: Logbook, name: string): BuildId {
  const existing = logbook.findBuild(name);
  if (existing) return existing.id;
  const { id: shockId } = logbook.findShock(RIG_CARE) ?? logbook.createShock({ name: RIG_CARE });
  return logbook.createBuild({ shockId, name, properties: { test_piece: true } }).id;
}

/**
 * Records a test piece at the rig.
 * @returns the recording; it stays in the logbook also when it was left before its end
 * @throws CommandFailure for an uncalibrated rig and when the rig fails; the signal's reason when it aborts
 */
export async function recordPiece(
  { link, played, piece: playedPiece, rigName, signal }: LedRig,
  logbook: Logbook,
  piece: string,
  procedure: Procedure,
): Promise<RecordingId> {
  const rigId = logbook.findRig(rigName);
  if (rigId === undefined || !logbook.calibrationInForce(rigId))
    throw badInput(`rig '${rigName}' has no calibration yet`, 'its force and position calibrated first');
  if (procedure.steps.length > 0 && procedure.movedBy !== 'hand')
    await (await import('./cautions.js')).showCautions(signal);
  signal.throwIfAborted();
  const buildId = pieceNamed(logbook, piece);
  // Each sitting of the simulated rig's owner mounts it a little differently.
  played?.mount(testPieces[playedPiece], 1 + logbook.listRecordings({ buildId }).length);
  const progress = recordingProgress(piece);
  const outcome = await recordBuild({
    link,
    logbook,
    buildId,
    procedure,
    limits: driveLimitsOf(logbook, rigName),
    ...(played && { simulated: { seed: PRACTICE_SEED } }),
    onProgress: progress.show,
    signal,
  }).finally(progress.clear);
  if (outcome.failure) throw new CommandFailure(exitStatus.rigFailed, outcome.failure.message);
  signal.throwIfAborted();
  return outcome.recordingId;
}

/** Opens a logbook that is there, or one to be made. */
export function careLogbook(path: string, isNew: boolean): Logbook {
  if (!isNew && !existsSync(path)) throw badInput('no such logbook', 'one with recordings', path);
  return openLogbook(path);
}

/** `recording:ID` as an id of the logbook. */
export function recordingNamed(logbook: Logbook, text: string): RecordingId {
  const named = parseArgument(text);
  if (named.kind !== 'recording') throw badInput(text, 'recording:ID from the logbook');
  const recording = logbook.findRecording(named.id as RecordingId);
  if (!recording) throw badInput('no such recording', 'a number of the logbook', text);
  if (recording.rigId === null) throw badInput('an imported recording, which no rig made', "a rig's", text);
  return recording.id;
}
