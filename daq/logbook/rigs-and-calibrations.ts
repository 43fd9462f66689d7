import type { Calibration } from '../calibration.js';
import { DaqError } from '../daq-error.js';
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
  more_json: string;
}

/** What a calibration may hold beyond the columns of its two straight lines. */
interface MoreOfCalibration {
  readonly force?: Pick<Calibration['force'], 'bend_per_N' | 'standardUncertainty_N'>;
  readonly position?: Pick<Calibration['position'], 'bend_per_m' | 'standardUncertainty_m' | 'crank'>;
  readonly lag?: NonNullable<Calibration['lag']>;
  readonly movingMass?: NonNullable<Calibration['movingMass']>;
}

export type RigsAndCalibrations = ReturnType<typeof rigsAndCalibrations>;

/** The part of the logbook that knows rigs and how they were calibrated; a calibration is never edited. */
export function rigsAndCalibrations(connection: Connection, now: () => string) {
  const selectRig = connection.prepare<[string], RigId>('SELECT id FROM rig WHERE name = ?').pluck();
  const selectRigs = connection.prepare<[], { id: RigId; name: string }>(
    'SELECT id, name FROM rig ORDER BY id',
  );
  const insertRig = connection
    .prepare<[string, string], RigId>('INSERT INTO rig (name, created_at) VALUES (?, ?) RETURNING id')
    .pluck();
  const insertCalibration = connection.prepare<Record<string, unknown>, CalibrationRow>(
    `INSERT INTO calibration (rig_id, version, force_newton_per_count, force_zero_counts,
       force_uncertainty_newton_per_count, position_metre_per_count, position_zero_counts,
       position_uncertainty_metre_per_count, note, created_at, more_json)
     VALUES (@rig, (SELECT 1 + coalesce(max(version), 0) FROM calibration WHERE rig_id = @rig), @forceSlope, @forceZero,
       @forceUncertainty, @positionSlope, @positionZero, @positionUncertainty, @note, @createdAt, @more) RETURNING *`,
  );
  // The newest by its own date: an old one that comes in from elsewhere does not take the place of a newer one.
  const selectOfRig = connection.prepare<[number], CalibrationRow>(
    'SELECT * FROM calibration WHERE rig_id = ? ORDER BY created_at DESC, version DESC',
  );
  const selectOne = connection.prepare<[number], CalibrationRow>('SELECT * FROM calibration WHERE id = ?');
  const inForce = (rigId: RigId): CalibrationRecord | undefined => {
    const row = selectOfRig.get(rigId);
    return row && calibrationOf(row);
  };
  const find = (id: CalibrationId): CalibrationRecord | undefined => {
    const row = selectOne.get(id);
    return row && calibrationOf(row);
  };

  return {
    /** The rig of that name, entered now if it is new. */
    rigNamed: (name: string): RigId => selectRig.get(name) ?? insertRig.get(name, now())!,
    findRig: (name: string): RigId | undefined => selectRig.get(name),
    listRigs: (): { readonly id: RigId; readonly name: string }[] => selectRigs.all(),
    /**
     * Enters the next version of a rig's calibration; recordings made before keep theirs.
     * @param createdAt when it was made, for one that comes from elsewhere
     */
    addCalibration(rigId: RigId, calibration: Calibration, note = '', createdAt = now()): CalibrationRecord {
      const { force, position } = calibration;
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
        more: JSON.stringify(moreOf(calibration)),
      });
      return calibrationOf(row!);
    },
    /** A rig's calibrations, the newest first. */
    listCalibrations: (rigId: RigId): CalibrationRecord[] => selectOfRig.all(rigId).map(calibrationOf),
    /** The newest calibration of a rig, or undefined where it has none. */
    calibrationInForce: inForce,
    findCalibration: find,
    /**
     * A calibration of a rig by its version, or the newest.
     * @throws DaqError 'unknown-name'
     */
    calibrationNamed(rigId: RigId, version: number | 'latest'): CalibrationRecord {
      const all = selectOfRig.all(rigId);
      const row = version === 'latest' ? all[0] : all.find((candidate) => candidate.version === version);
      if (row) return calibrationOf(row);
      const versions = all.map((candidate) => candidate.version).sort((a, b) => a - b);
      throw new DaqError('unknown-name', {
        where: 'calibration',
        found: `version ${version}`,
        wanted:
          versions.length > 0 ? `one of ${versions.join(', ')}, or latest` : 'a rig that was calibrated',
      });
    },
  };
}

function moreOf({ force, position, lag, movingMass }: Calibration): MoreOfCalibration {
  const { bend_per_N, standardUncertainty_N } = force;
  const { bend_per_m, standardUncertainty_m, crank } = position;
  // JSON leaves out what is not there.
  return {
    force: { bend_per_N, standardUncertainty_N },
    position: { bend_per_m, standardUncertainty_m, crank },
    lag,
    movingMass,
  } as MoreOfCalibration;
}

function calibrationOf(row: CalibrationRow): CalibrationRecord {
  const { force, position, ...others } = JSON.parse(row.more_json) as MoreOfCalibration;
  return {
    id: row.id,
    rigId: row.rig_id,
    version: row.version,
    calibration: {
      force: {
        newton_per_count: row.force_newton_per_count,
        zero_counts: row.force_zero_counts,
        standardUncertainty_newton_per_count: row.force_uncertainty_newton_per_count,
        ...force,
      },
      position: {
        metre_per_count: row.position_metre_per_count,
        zero_counts: row.position_zero_counts,
        standardUncertainty_metre_per_count: row.position_uncertainty_metre_per_count,
        ...position,
      },
      ...others,
    },
    note: row.note,
    createdAt: row.created_at,
  };
}
