import { existsSync } from 'node:fs';
import {
  driveLimitsOf,
  type Logbook,
  openLogbook,
  type Procedure,
  pieceNamed,
  type RecordingId,
  recordBuild,
} from '../../daq/index.js';
import { testPieces } from '../../daq/simulated-rig/index.js';
import { badInput, CommandFailure, exitStatus } from './failure.js';
import type { LedRig } from './lead-at-rig.js';
import { recordingProgress } from './recording-progress.js';
import { PRACTICE_SEED } from './rig-at-port.js';
import { parseArgument } from './source.js';

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
