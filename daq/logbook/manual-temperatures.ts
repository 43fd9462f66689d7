import type { RecordingId } from './entities.js';
import type { Connection } from './open-database.js';

/** The part of the logbook that keeps temperatures somebody read off, for rigs without a sensor. */
export function manualTemperatures(connection: Connection, now: () => string) {
  const insert = connection.prepare<[number, number, string]>(
    'INSERT INTO manual_temperature (recording_id, temperature_degC, entered_at) VALUES (?, ?, ?)',
  );
  const select = connection
    .prepare<[number], number>(
      'SELECT temperature_degC FROM manual_temperature WHERE recording_id = ? ORDER BY id DESC',
    )
    .pluck();
  return {
    /** Enters what a thermometer showed during a recording; a later entry takes the place of an earlier one. */
    enterTemperature: (id: RecordingId, temperature_degC: number): void =>
      void insert.run(id, temperature_degC, now()),
    manualTemperature_degC: (id: RecordingId): number | null => select.get(id) ?? null,
  };
}
