import { type LongRunSpread, longRunSpread } from '../../analysis/calibration/index.js';
import type { BuildId, CalibrationId, Recording, RecordingId, RigId } from './entities.js';
import { type Connection, inOneGo } from './open-database.js';

/** A value found in a recording, in the unit that the quantity's name carries. */
export interface NewResult {
  readonly quantity: string;
  readonly value: number;
  readonly standardError: number;
}

export interface RecordingResult extends NewResult {
  readonly recordingId: RecordingId;
  readonly calibrationId: CalibrationId;
  readonly buildId: BuildId;
  readonly remount: number;
  /** When the recording was made. */
  readonly startedAt: string;
}

export interface CheckStandard {
  readonly id: number;
  readonly rigId: RigId;
  readonly buildId: BuildId;
  readonly buildName: string;
  readonly note: string;
  /** Since when its history counts. */
  readonly createdAt: string;
}

/** Spread between remounts of a rig, and whether it is only what the rig adds. */
export interface RigSpread extends LongRunSpread {
  /** True where only the check standard was remounted: a shock's own share is missing. */
  readonly rigShareOnly: boolean;
}

interface ResultRow {
  recording_id: RecordingId;
  calibration_id: CalibrationId;
  build_id: BuildId;
  remount: number;
  started_at: string;
  quantity: string;
  value_in_unit: number;
  standard_error_in_unit: number;
}

interface StandardRow {
  id: number;
  rig_id: RigId;
  build_id: BuildId;
  build_name: string;
  note: string;
  created_at: string;
}

/** The part of the logbook that keeps what recordings gave, for charts over sittings and the spread between remounts. */
export function resultsAndChecks(connection: Connection, now: () => string) {
  const insertResult = connection.prepare<Record<string, unknown>>(
    `INSERT INTO recording_result
       (recording_id, calibration_id, quantity, value_in_unit, standard_error_in_unit, created_at)
     VALUES (@recording, @calibration, @quantity, @value, @standardError, @now)`,
  );
  // The last result of each recording and quantity; a recording that its owner set aside does not count.
  const selectResults = connection.prepare<Record<string, unknown>, ResultRow>(
    `SELECT recording_result.*, build_id, remount, started_at
     FROM recording_result JOIN recording_now ON recording_now.id = recording_id
     WHERE rig_id = @rig AND NOT set_aside AND (@build IS NULL OR build_id = @build)
       AND (@quantity IS NULL OR quantity = @quantity)
       AND recording_result.id = (SELECT max(id) FROM recording_result AS later
         WHERE later.recording_id = recording_result.recording_id AND later.quantity = recording_result.quantity)
     ORDER BY started_at, recording_id, recording_result.id`,
  );
  const insertStandard = connection.prepare<[number, number, string, string]>(
    'INSERT INTO check_standard (rig_id, build_id, note, created_at) VALUES (?, ?, ?, ?)',
  );
  const selectStandard = connection.prepare<[number], StandardRow>(
    `SELECT check_standard.*, build.name AS build_name FROM check_standard JOIN build_now AS build ON build.id = build_id
     WHERE rig_id = ? ORDER BY check_standard.id DESC`,
  );
  const results = (rigId: RigId, only: { buildId?: BuildId; quantity?: string } = {}): RecordingResult[] =>
    selectResults
      .all({ rig: rigId, build: only.buildId ?? null, quantity: only.quantity ?? null })
      .map((row) => ({
        recordingId: row.recording_id,
        calibrationId: row.calibration_id,
        buildId: row.build_id,
        remount: row.remount,
        startedAt: row.started_at,
        quantity: row.quantity,
        value: row.value_in_unit,
        standardError: row.standard_error_in_unit,
      }));
  const spreadOf = (rigId: RigId, without: readonly BuildId[]): RigSpread[] => {
    const all = results(rigId).filter(({ buildId }) => !without.includes(buildId));
    const standard = standardOf(rigId)?.buildId;
    const pooled = (some: readonly RecordingResult[]) =>
      longRunSpread(some.map(({ buildId, ...result }) => ({ ...result, build: buildId })));
    const ofShocks = pooled(all.filter(({ buildId }) => buildId !== standard));
    const ofStandard = pooled(all.filter(({ buildId }) => buildId === standard));
    return [
      ...ofShocks.map((spread) => ({ ...spread, rigShareOnly: false })),
      ...ofStandard
        .filter(({ quantity }) => !ofShocks.some((spread) => spread.quantity === quantity))
        .map((spread) => ({ ...spread, rigShareOnly: true })),
    ];
  };
  const standardOf = (rigId: RigId): CheckStandard | undefined => {
    const row = selectStandard.get(rigId);
    return (
      row && {
        id: row.id,
        rigId: row.rig_id,
        buildId: row.build_id,
        buildName: row.build_name,
        note: row.note,
        createdAt: row.created_at,
      }
    );
  };

  return {
    /** Keeps what a recording gave; a later result of the same quantity takes the place of an earlier one. */
    enterResults(recordingId: RecordingId, calibrationId: CalibrationId, found: readonly NewResult[]): void {
      inOneGo(connection, () => {
        for (const { quantity, value, standardError } of found)
          insertResult.run({
            recording: recordingId,
            calibration: calibrationId,
            quantity,
            value,
            standardError,
            now: now(),
          });
      });
    },
    /** Results of a rig's recordings in the order these were made. */
    listResults: results,
    /** Makes a build a rig's check standard, with a history that begins now. */
    setCheckStandard(rigId: RigId, buildId: BuildId, note = ''): CheckStandard {
      insertStandard.run(rigId, buildId, note, now());
      return standardOf(rigId)!;
    },
    checkStandardOf: standardOf,
    /** One quantity of the check standard, sitting by sitting, since its history began. */
    checkHistory(rigId: RigId, quantity: string): RecordingResult[] {
      const standard = standardOf(rigId);
      if (!standard) return [];
      return results(rigId, { buildId: standard.buildId, quantity }).filter(
        ({ startedAt }) => startedAt >= standard.createdAt,
      );
    },
    /** How much a rig's results differ from remount to remount, from all results that were kept. */
    remountSpreadOf: (rigId: RigId): RigSpread[] => spreadOf(rigId, []),
    /**
     * The same as it counts beside some recordings: of the one rig that made them all, from other builds, since the
     * remounts of their own speak for themselves. Nothing for recordings of several rigs, and for imported ones.
     */
    remountSpreadBeside(recordings: readonly Pick<Recording, 'rigId' | 'buildId'>[]): RigSpread[] {
      const [rigId, ...others] = new Set(recordings.map((recording) => recording.rigId));
      if (!rigId || others.length > 0) return [];
      return spreadOf(
        rigId,
        recordings.map(({ buildId }) => buildId),
      );
    },
  };
}
