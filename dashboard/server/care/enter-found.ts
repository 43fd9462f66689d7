import type { Logbook } from '../../../daq/index.js';
import type { CareFound, EnteredCare } from '../api-care.js';

/** Enters what was found for a rig; a part becomes a calibration once force and position are both known. */
export function enterFound(logbook: Logbook, rigName: string, found: CareFound, note: string): EnteredCare {
  const rigId = logbook.rigNamed(rigName);
  if (found.kind === 'profile')
    return { version: logbook.addRigProfile(rigId, found.profile, note).version, missing: [] };
  const { calibration, missing } = logbook.addCalibrationPart(rigId, found.part, found.evidence, note);
  return { version: calibration?.version ?? null, missing };
}
