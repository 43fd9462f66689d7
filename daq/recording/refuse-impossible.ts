import { DaqError, type DaqErrorCode } from '../daq-error.js';
import { speedInRange } from '../link/drive-control.js';
import { channelOf } from '../link/rig-identity.js';
import type { RigLink } from '../link/rig-link.js';
import type { BuildId, CalibrationId, CalibrationRecord } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import type { Procedure } from '../procedures.js';

/** What there is to be recorded, and with what. */
interface WantedRecording {
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly buildId: BuildId;
  readonly calibrationId?: CalibrationId;
  readonly procedure: Procedure;
}

/**
 * Refuses what cannot be recorded, while nothing has been written or moved yet.
 * @returns the calibration to record under
 * @throws DaqError 'unknown-name', 'no-channel', 'no-drive', 'speed-out-of-range', 'no-calibration'
 */
export function refuseImpossible(options: WantedRecording): CalibrationRecord {
  const { link, logbook, buildId, calibrationId, procedure } = options;
  const identity = link.identity();
  const rig = `rig '${identity.rigName}'`;
  if (!logbook.listBuilds().some(({ id }) => id === buildId))
    throw refusal('unknown-name', 'build', `build ${buildId}`, 'a build of this logbook');
  for (const kind of ['force', 'position'] as const)
    if (!channelOf(identity, kind))
      throw refusal('no-channel', link.path, `${rig} without a ${kind} channel`, 'force and position');
  for (const { speed_rev_per_s } of procedure.steps) speedInRange(speed_rev_per_s, identity, link.path);
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

function refusal(code: DaqErrorCode, where: string, found: string, wanted: string): DaqError {
  return new DaqError(code, { where, found, wanted });
}
