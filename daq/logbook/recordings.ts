import { DaqError } from '../daq-error.js';
import type { LinkStatistics } from '../link/link-statistics.js';
import type { RigIdentity } from '../link/rig-identity.js';
import type { ProcedureRecord } from '../procedures.js';
import type { EditedValue, Edits } from './edits.js';
import type {
  BuildId,
  CalibrationId,
  NewRecording,
  Recording,
  RecordingEnd,
  RecordingId,
  RecordingState,
  RigId,
} from './entities.js';
import { type Connection, inOneGo } from './open-database.js';
import { isAlive } from './recording-owner.js';

interface RecordingRow {
  id: RecordingId;
  build_id: BuildId;
  build_name: string;
  shock_name: string;
  rig_id: RigId | null;
  calibration_id: CalibrationId;
  procedure_json: string;
  remount: number;
  continues_recording_id: RecordingId | null;
  started_at: string;
  state: RecordingState;
  reason: string;
  owner: string | null;
  changed_at: string;
  set_aside: 0 | 1;
  identity_json: string | null;
  statistics_json: string | null;
  simulated: 0 | 1;
  seed: number | null;
  source: string | null;
}

const ORPHANED = 'the program that recorded it ended';

/**
 * The part of the logbook that knows recordings. Their state is a history of which the newest entry holds.
 * One whose owner has died is shown as interrupted at once, and entered as such by the next writer.
 */
export function recordings(connection: Connection, now: () => string, owner: string, history: Edits) {
  const insert = connection
    .prepare<Record<string, unknown>, RecordingId>(
      `INSERT INTO recording (build_id, rig_id, calibration_id, procedure_json, remount, started_at, identity_json,
         simulated, seed, source, continues_recording_id)
       VALUES (@buildId, @rigId, @calibrationId, @procedure,
         coalesce(@remount, (SELECT remount FROM recording WHERE id = @continues),
           (SELECT 1 + coalesce(max(remount), 0) FROM recording_now
             WHERE build_id = @buildId AND NOT set_aside)),
         @startedAt, @identity, @simulated, @seed, @source, @continues) RETURNING id`,
    )
    .pluck();
  const enter = connection.prepare<[number, RecordingState, string, string | null, string]>(
    'INSERT INTO recording_state (recording_id, state, reason, owner, changed_at) VALUES (?, ?, ?, ?, ?)',
  );
  const complete = connection.prepare<[string | null, string | null, number]>(
    `UPDATE recording SET procedure_json = coalesce(?, procedure_json), statistics_json = coalesce(?, statistics_json)
     WHERE id = ?`,
  );
  const select = connection.prepare<Record<string, unknown>, RecordingRow>(
    `SELECT recording_now.*, build.name AS build_name, shock.name AS shock_name
     FROM recording_now JOIN build_now AS build ON build.id = build_id JOIN shock ON shock.id = shock_id
     WHERE (@build IS NULL OR build_id = @build) AND (@id IS NULL OR recording_now.id = @id)
     ORDER BY recording_now.id`,
  );

  const lastKeptState = connection.prepare<[number], { state: RecordingState; reason: string }>(
    `SELECT state, reason FROM recording_state WHERE recording_id = ? AND state IN ('complete', 'interrupted')
     ORDER BY id DESC`,
  );
  const renumber = connection.prepare<[number, string]>('UPDATE recording SET remount = ? WHERE id = ?');

  history.applyWith('recording', (item, field, value) => {
    if (field === 'remount') renumber.run(Number(value), item);
    else {
      const { state, reason } = value as RecordingFate;
      enter.run(Number(item), state, reason, null, now());
    }
  });

  function find(id: RecordingId): Recording | undefined {
    const row = select.get({ build: null, id });
    return row && recordingOf(row);
  }

  function endedFate(id: RecordingId): RecordingFate {
    const recording = find(id);
    if (recording?.state !== 'complete' && recording?.state !== 'interrupted')
      throw wrongState(id, recording?.state, 'one that is complete or interrupted');
    return { state: recording.state, reason: recording.stateReason };
  }

  return {
    /** Enters a recording in state *recording*, owned by this process. Samples follow with `appendBlocks`. */
    startRecording(recording: NewRecording): RecordingId {
      return inOneGo(connection, () => {
        const id = insert.get({
          buildId: recording.buildId,
          rigId: recording.rigId,
          calibrationId: recording.calibrationId,
          procedure: JSON.stringify(recording.procedure),
          remount: recording.remount ?? null,
          continues: recording.continues ?? null,
          startedAt: recording.startedAt,
          identity: orNull(recording.identity),
          simulated: recording.simulated ? 1 : 0,
          seed: recording.seed ?? null,
          source: recording.source ?? null,
        })!;
        enter.run(id, 'recording', '', owner, now());
        return id;
      });
    },
    /**
     * Ends a recording.
     * @throws DaqError 'unknown-name', 'wrong-state' when it has ended already
     */
    finishRecording(id: RecordingId, end: RecordingEnd): void {
      inOneGo(connection, () => {
        const state = find(id)?.state;
        if (state !== 'recording') throw wrongState(id, state, 'one that is being recorded');
        complete.run(orNull(end.procedure), orNull(end.statistics), id);
        enter.run(id, end.state, end.reason ?? '', null, now());
      });
    },
    /**
     * Moves a recording to the bin, out of every list and comparison; it stays in the logbook.
     * @throws DaqError 'unknown-name', 'wrong-state' while it is being recorded
     */
    discardRecording(id: RecordingId, reason: string): void {
      history.edit('bin', [fate(id, endedFate(id), { state: 'discarded', reason })]);
    },
    /**
     * Lets a recording count that has ended, and says why; one that was stopped before its end is complete from then on.
     * @throws DaqError 'unknown-name', 'wrong-state' unless it is complete or interrupted
     */
    keepRecording(id: RecordingId, reason: string): void {
      history.edit('change', [fate(id, endedFate(id), { state: 'complete', reason })]);
    },
    /**
     * Takes a recording out of the bin, as it was before. Where its place among the remounts is taken meanwhile, it
     * gets the next one: two mountings must not pass for one.
     * @throws DaqError 'unknown-name', 'wrong-state' when it is not in the bin
     */
    restoreRecording(id: RecordingId): void {
      inOneGo(connection, () => {
        const recording = find(id);
        if (recording?.state !== 'discarded') throw wrongState(id, recording?.state, 'one in the bin');
        const { buildId, remount, stateReason } = recording;
        const others = select.all({ build: buildId, id: null }).filter((row) => row.set_aside === 0);
        const isTaken = others.some((row) => row.remount === remount);
        const next = isTaken ? 1 + Math.max(...others.map((row) => row.remount)) : remount;
        const after = lastKeptState.get(id) ?? { state: 'interrupted' as const, reason: '' };
        history.edit('restore', [
          fate(id, { state: 'discarded', reason: stateReason }, after),
          { kind: 'recording', item: String(id), field: 'remount', before: remount, after: next },
        ]);
      });
    },
    /** Keeps in the history that recordings came in from files, so that this can be undone. */
    noteImport(ids: readonly RecordingId[]): void {
      history.edit(
        'import',
        ids.map((id) =>
          fate(
            id,
            { state: 'discarded', reason: 'its import was undone' },
            { state: 'complete', reason: '' },
          ),
        ),
      );
    },
    findRecording: find,
    /** Recordings in the order they were made; those in the bin, or whose build is, only when asked for. */
    listRecordings(filter: { buildId?: BuildId; withDiscarded?: boolean } = {}): Recording[] {
      return select
        .all({ build: filter.buildId ?? null, id: null })
        .filter((row) => filter.withDiscarded || row.set_aside === 0)
        .map(recordingOf);
    },
    /** Enters as interrupted what a process that no longer lives was recording. */
    closeOrphans(): void {
      for (const row of select.all({ build: null, id: null }))
        if (isOrphan(row)) enter.run(row.id, 'interrupted', ORPHANED, null, now());
    },
  };
}

/** What became of a recording, and why. */
interface RecordingFate {
  readonly state: RecordingState;
  readonly reason: string;
}

const fate = (id: RecordingId, before: RecordingFate, after: RecordingFate): EditedValue => ({
  kind: 'recording',
  item: String(id),
  field: 'state',
  before,
  after,
});

function recordingOf(row: RecordingRow): Recording {
  const orphan = isOrphan(row);
  return {
    id: row.id,
    buildId: row.build_id,
    buildName: row.build_name,
    shockName: row.shock_name,
    rigId: row.rig_id,
    calibrationId: row.calibration_id,
    procedure: JSON.parse(row.procedure_json) as ProcedureRecord,
    remount: row.remount,
    continues: row.continues_recording_id,
    startedAt: row.started_at,
    state: orphan ? 'interrupted' : row.state,
    stateReason: orphan ? ORPHANED : row.reason,
    identity: row.identity_json === null ? null : (JSON.parse(row.identity_json) as RigIdentity),
    statistics: row.statistics_json === null ? null : (JSON.parse(row.statistics_json) as LinkStatistics),
    simulated: row.simulated === 1,
    seed: row.seed,
    source: row.source,
  };
}

function isOrphan({ state, owner }: RecordingRow): boolean {
  return state === 'recording' && (owner === null || !isAlive(owner));
}

function wrongState(id: RecordingId, state: RecordingState | undefined, wanted: string): DaqError {
  const where = `recording ${id}`;
  return state === undefined
    ? new DaqError('unknown-name', { where, found: 'no such recording', wanted })
    : new DaqError('wrong-state', { where, found: `a recording that is ${state}`, wanted });
}

function orNull(value: unknown): string | null {
  return value === null || value === undefined ? null : JSON.stringify(value);
}
