import { DaqError, type DaqErrorCode } from '../daq-error.js';
import { speedInRange } from '../link/drive-control.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { RigLink } from '../link/rig-link.js';
import type { BuildId, CalibrationId, CalibrationRecord, RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { isDriven, type Procedure } from '../procedures.js';
import { type DriveLimits, noLimits } from './load-watch.js';

/** What there is to be recorded, and with what. */
interface WantedRecording {
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly buildId: BuildId;
  readonly calibrationId?: CalibrationId;
  readonly procedure: Procedure;
  readonly limits?: DriveLimits;
  readonly continues?: RecordingId;
}

/**
 * Refuses what cannot be recorded, while nothing has been written or moved yet.
 * @returns the calibration to record under
 * @throws DaqError 'unknown-name', 'no-channel', 'no-drive', 'speed-out-of-range', 'no-calibration'
 */
export function refuseImpossible(options: WantedRecording): CalibrationRecord {
  const { link, logbook, buildId, calibrationId, procedure, limits = noLimits, continues } = options;
  const identity = link.identity();
  const rig = `rig '${identity.rigName}'`;
  if (!logbook.listBuilds().some(({ id }) => id === buildId))
    throw refusal('unknown-name', 'build', `build ${buildId}`, 'a build of this logbook');
  if (continues !== undefined) refuseToContinue(logbook, buildId, continues);
  for (const kind of ['force', 'position'] as const)
    if (!channelOf(identity, kind))
      throw refusal('no-channel', link.path, `${rig} without a ${kind} channel`, 'force and position');
  if (isDriven(procedure))
    for (const { speed_rev_per_s } of procedure.steps)
      if (speed_rev_per_s !== null) refuseSpeed(speed_rev_per_s, identity, link.path, limits);
  if (calibrationId !== undefined) {
    const given = logbook.findCalibration(calibrationId);
    if (!given)
      throw refusal('unknown-name', 'calibration', `calibration ${calibrationId}`, 'one of this logbook');
    return given;
  }
  const rigId = logbook.findRig(identity.rigName);
  const inForce = rigId && logbook.calibrationInForce(rigId);
  if (!inForce)
    throw refusal('no-calibration', link.path, `${rig}, not calibrated yet`, 'a calibration of it');
  return inForce;
}

function refuseToContinue(logbook: Logbook, buildId: BuildId, continues: RecordingId): void {
  const before = logbook.findRecording(continues);
  const where = `recording ${continues}`;
  if (!before) throw refusal('unknown-name', where, 'no such recording', 'one to go on with');
  if (before.state !== 'interrupted' || before.buildId !== buildId)
    throw refusal(
      'wrong-state',
      where,
      `a recording of '${before.buildName}' that is ${before.state}`,
      'one of the same build that was interrupted',
    );
}

function refuseSpeed(
  speed_rev_per_s: number,
  identity: RigIdentity,
  where: string,
  { speed_rev_per_s: most }: DriveLimits,
): void {
  speedInRange(speed_rev_per_s, identity, where);
  if (most !== null && speed_rev_per_s > most)
    throw refusal(
      'speed-out-of-range',
      where,
      `a crank speed of ${speed_rev_per_s} rev/s`,
      `at most ${most} rev/s, the limit its owner has set for rig '${identity.rigName}'`,
    );
}

function refusal(code: DaqErrorCode, where: string, found: string, wanted: string): DaqError {
  return new DaqError(code, { where, found, wanted });
}
