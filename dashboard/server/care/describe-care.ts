import type { Logbook, RigId } from '../../../daq/index.js';
import type { CareBody, CareRecording, CareRig } from '../api-care.js';
import { checkOfRig } from '../check-of-rig.js';
import { requestError } from '../errors.js';

/** Enough to choose one from. */
const mostRecordings = 40;

/**
 * A rig as the place Rig care shows it.
 * @param wanted the one used last where it is left out
 * @throws requestError 'unknown-rig'
 */
export function describeCare(logbook: Logbook, wanted?: RigId): CareBody {
  const rigs = logbook.listRigs();
  const last = logbook.listRecordings().findLast(({ rigId }) => rigId !== null)?.rigId;
  const id = wanted ?? last ?? rigs.at(-1)?.id;
  const rig = rigs.find((known) => known.id === id);
  if (wanted !== undefined && !rig)
    throw requestError(404, {
      code: 'unknown-rig',
      found: `no rig ${wanted}`,
      wanted: 'a rig of this logbook',
      where: 'query.rig',
    });
  return { rigs, rig: rig ? careRig(logbook, rig) : null };
}

function careRig(logbook: Logbook, { id, name }: { readonly id: RigId; readonly name: string }): CareRig {
  return {
    id,
    name,
    profile: logbook.rigProfile(id) ?? null,
    calibrations: logbook.listCalibrations(id),
    parts: logbook.listCalibrationParts(id),
    check: checkOfRig(logbook, id),
    spreads: logbook.remountSpreadOf(id),
    recordings: recordingsOf(logbook, id),
  };
}

function recordingsOf(logbook: Logbook, id: RigId): CareRecording[] {
  return logbook
    .listRecordings()
    .filter(({ rigId, state }) => rigId === id && state === 'complete')
    .slice(-mostRecordings)
    .reverse()
    .map(({ id: recordingId, buildName, remount, startedAt, calibrationId }) => ({
      id: recordingId,
      build: buildName,
      remount,
      startedAt,
      calibrationVersion: logbook.findCalibration(calibrationId)!.version,
    }));
}
