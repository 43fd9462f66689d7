import type { Calibration } from '../calibration.js';
import type { CalibrationRecord, RigId } from './entities.js';
import { type Connection, inOneGo } from './open-database.js';
import type { RigsAndCalibrations } from './rigs-and-calibrations.js';

/** One procedure's result: a key of a calibration and its value. */
export type CalibrationPart = {
  [Key in keyof Calibration]-?: { readonly part: Key; readonly value: NonNullable<Calibration[Key]> };
}[keyof Calibration];

export type CalibrationPartName = CalibrationPart['part'];

export interface CalibrationPartRecord {
  readonly id: number;
  readonly part: CalibrationPartName;
  readonly value: CalibrationPart['value'];
  /** What it was found from, as plain data; its shape is the procedure's. */
  readonly evidence: unknown;
  readonly note: string;
  readonly createdAt: string;
}

export interface EnteredPart {
  /** The version it became part of; null while the rig's force or position is not calibrated at all. */
  readonly calibration: CalibrationRecord | null;
  readonly missing: readonly ('force' | 'position')[];
}

interface PartRow {
  id: number;
  part: CalibrationPartName;
  value_json: string;
  evidence_json: string;
  note: string;
  created_at: string;
}

/** The part of the logbook that keeps what each calibration procedure found, and puts calibrations together. */
export function calibrationParts(
  connection: Connection,
  now: () => string,
  { calibrationInForce, addCalibration }: RigsAndCalibrations,
) {
  const insert = connection
    .prepare<[number, string, string, string, string, string], number>(
      `INSERT INTO calibration_part (rig_id, part, value_json, evidence_json, note, created_at)
       VALUES (?, ?, ?, ?, ?, ?) RETURNING id`,
    )
    .pluck();
  const join = connection.prepare<[number, number]>(
    'UPDATE calibration_part SET calibration_id = ? WHERE rig_id = ? AND calibration_id IS NULL',
  );
  const select = connection.prepare<[number], PartRow>(
    'SELECT * FROM calibration_part WHERE rig_id = ? ORDER BY id DESC',
  );
  const waiting = connection.prepare<[number], PartRow>(
    'SELECT * FROM calibration_part WHERE rig_id = ? AND calibration_id IS NULL ORDER BY id',
  );

  return {
    /**
     * Keeps a part and, once force and position are both known, makes it part of the rig's next calibration.
     * @param evidence plain data that shows how it was found
     */
    addCalibrationPart(
      rigId: RigId,
      { part, value }: CalibrationPart,
      evidence: unknown,
      note = '',
    ): EnteredPart {
      return inOneGo(connection, () => {
        insert.get(rigId, part, JSON.stringify(value), JSON.stringify(evidence ?? null), note, now());
        const parts = waiting.all(rigId).map((row) => [row.part, JSON.parse(row.value_json)]);
        const whole: Partial<Calibration> = {
          ...calibrationInForce(rigId)?.calibration,
          ...Object.fromEntries(parts),
        };
        const missing = (['force', 'position'] as const).filter((needed) => !whole[needed]);
        if (missing.length > 0) return { calibration: null, missing };
        const calibration = addCalibration(rigId, whole as Calibration, note);
        join.run(calibration.id, rigId);
        return { calibration, missing };
      });
    },
    /** What was found for a rig, the newest first. */
    listCalibrationParts: (rigId: RigId): CalibrationPartRecord[] =>
      select.all(rigId).map((row) => ({
        id: row.id,
        part: row.part,
        value: JSON.parse(row.value_json),
        evidence: JSON.parse(row.evidence_json),
        note: row.note,
        createdAt: row.created_at,
      })),
  };
}
