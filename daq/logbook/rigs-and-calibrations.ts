import type { Calibration } from '../calibration.js';
import type { CalibrationId, CalibrationRecord, RigId } from './entities.js';
import type { Connection } from './open-database.js';

interface CalibrationRow {
  id: CalibrationId;
  rig_id: RigId | null;
  version: number;
  force_newton_per_count: number;
  force_zero_counts: number;
  force_uncertainty_newton_per_count: number | null;
  position_metre_per_count: number;
  position_zero_counts: number;
  position_uncertainty_metre_per_count: number | null;
  note: string;
  created_at: string;
}

/** The part of the logbook that knows rigs and how they were calibrated; a calibration is never edited. */
export function rigsAndCalibrations(connection: Connection, now: () => string) {
  const selectRig = connection.prepare<[string], RigId>('SELECT id FROM rig WHERE name = ?').pluck();
  const insertRig = connection
    .prepare<[string, string], RigId>('INSERT INTO rig (name, created_at) VALUES (?, ?) RETURNING id')
    .pluck();
  const insertCalibration = connection.prepare<Record<string, unknown>, CalibrationRow>(
    `INSERT INTO calibration (rig_id, version, force_newton_per_count, force_zero_counts,
       force_uncertainty_newton_per_count, position_metre_per_count, position_zero_counts,
       position_uncertainty_metre_per_count, note, created_at)
     VALUES (@rig, (SELECT 1 + coalesce(max(version), 0) FROM calibration WHERE rig_id = @rig), @forceSlope, @forceZero,
       @forceUncertainty, @positionSlope, @positionZero, @positionUncertainty, @note, @createdAt) RETURNING *`,
  );
  // The newest by its own date: an old one that comes in from elsewhere does not take the place of a newer one.
  const selectOfRig = connection.prepare<[number], CalibrationRow>(
    'SELECT * FROM calibration WHERE rig_id = ? ORDER BY created_at DESC, version DESC',
  );
  const selectOne = connection.prepare<[number], CalibrationRow>('SELECT * FROM calibration WHERE id = ?');

  return {
    /** The rig of that name, entered now if it is new. */
    rigNamed: (name: string): RigId => selectRig.get(name) ?? insertRig.get(name, now())!,
    findRig: (name: string): RigId | undefined => selectRig.get(name),
    /**
     * Enters the next version of a rig's calibration; recordings made before keep theirs.
     * @param createdAt when it was made, for one that comes from elsewhere
     */
    addCalibration(
      rigId: RigId,
      { force, position }: Calibration,
      note = '',
      createdAt = now(),
    ): CalibrationRecord {
      const row = insertCalibration.get({
        rig: rigId,
        forceSlope: force.newton_per_count,
        forceZero: force.zero_counts,
        forceUncertainty: force.standardUncertainty_newton_per_count ?? null,
        positionSlope: position.metre_per_count,
        positionZero: position.zero_counts,
        positionUncertainty: position.standardUncertainty_metre_per_count ?? null,
        note,
        createdAt,
      });
      return calibrationOf(row!);
    },
    /** A rig's calibrations, the newest first. */
    listCalibrations: (rigId: RigId): CalibrationRecord[] => selectOfRig.all(rigId).map(calibrationOf),
    /** The newest calibration of a rig, or undefined where it has none. */
    calibrationInForce(rigId: RigId): CalibrationRecord | undefined {
      const row = selectOfRig.get(rigId);
      return row && calibrationOf(row);
    },
    findCalibration(id: CalibrationId): CalibrationRecord | undefined {
      const row = selectOne.get(id);
      return row && calibrationOf(row);
    },
  };
}

function calibrationOf(row: CalibrationRow): CalibrationRecord {
  return {
    id: row.id,
    rigId: row.rig_id,
    version: row.version,
    calibration: {
      force: {
        newton_per_count: row.force_newton_per_count,
        zero_counts: row.force_zero_counts,
        standardUncertainty_newton_per_count: row.force_uncertainty_newton_per_count,
      },
      position: {
        metre_per_count: row.position_metre_per_count,
        zero_counts: row.position_zero_counts,
        standardUncertainty_metre_per_count: row.position_uncertainty_metre_per_count,
      },
    },
    note: row.note,
    createdAt: row.created_at,
  };
}
