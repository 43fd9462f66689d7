import { EDIT_TABLES } from './edit-tables.js';
import { RIG_CARE_TABLES } from './rig-care-tables.js';
import { SEGMENT_AND_CHECKSUM_COLUMNS } from './segment-and-checksum-columns.js';
import { SHELF_TABLE } from './shelf-table.js';

/**
 * The logbook's tables as a list of steps: a logbook whose `user_version` is n has had the first n of them.
 * A step, once released, is never edited; the next change is the next step. Column names carry units.
 */
export const MIGRATIONS: readonly string[] = [
  `
CREATE TABLE shock (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  properties_json TEXT NOT NULL,
  created_at TEXT NOT NULL
) STRICT;

CREATE TABLE build (
  id INTEGER PRIMARY KEY,
  shock_id INTEGER NOT NULL REFERENCES shock,
  parent_build_id INTEGER REFERENCES build,
  name TEXT NOT NULL UNIQUE,
  change TEXT NOT NULL,
  properties_json TEXT NOT NULL,
  created_at TEXT NOT NULL,
  CHECK (parent_build_id IS NULL OR parent_build_id < id)
) STRICT;

CREATE TABLE rig (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  created_at TEXT NOT NULL
) STRICT;

CREATE TABLE calibration (
  id INTEGER PRIMARY KEY,
  rig_id INTEGER REFERENCES rig,
  version INTEGER NOT NULL,
  force_newton_per_count REAL NOT NULL,
  force_zero_counts REAL NOT NULL,
  force_uncertainty_newton_per_count REAL,
  position_metre_per_count REAL NOT NULL,
  position_zero_counts REAL NOT NULL,
  position_uncertainty_metre_per_count REAL,
  note TEXT NOT NULL,
  created_at TEXT NOT NULL,
  UNIQUE (rig_id, version)
) STRICT;

-- Imported values are N and m already.
INSERT INTO calibration VALUES (1, NULL, 1, 1, 0, NULL, 1, 0, NULL, 'imported values', '1970-01-01T00:00:00.000Z');

CREATE TABLE recording (
  id INTEGER PRIMARY KEY,
  build_id INTEGER NOT NULL REFERENCES build,
  rig_id INTEGER REFERENCES rig,
  calibration_id INTEGER NOT NULL REFERENCES calibration,
  procedure_json TEXT NOT NULL,
  remount INTEGER NOT NULL CHECK (remount >= 1),
  started_at TEXT NOT NULL,
  identity_json TEXT,
  statistics_json TEXT,
  simulated INTEGER NOT NULL CHECK (simulated IN (0, 1)),
  seed INTEGER,
  source TEXT
) STRICT;
CREATE INDEX recording_of_build ON recording (build_id);

-- What became of a recording; the newest row holds. Owner: the process that records, see recording-owner.ts.
CREATE TABLE recording_state (
  id INTEGER PRIMARY KEY,
  recording_id INTEGER NOT NULL REFERENCES recording,
  state TEXT NOT NULL CHECK (state IN ('recording', 'complete', 'interrupted', 'discarded')),
  reason TEXT NOT NULL,
  owner TEXT,
  changed_at TEXT NOT NULL
) STRICT;
CREATE INDEX state_of_recording ON recording_state (recording_id, id);

CREATE VIEW recording_now AS
  SELECT recording.*, state, reason, owner FROM recording
  JOIN recording_state ON recording_state.id =
    (SELECT max(id) FROM recording_state WHERE recording_id = recording.id);

-- Little-endian arrays of equal length: float64 times, int32 values (counts, mdegC) or float64 values (N, m, degC).
CREATE TABLE block (
  recording_id INTEGER NOT NULL REFERENCES recording,
  kind TEXT NOT NULL CHECK (kind IN ('force', 'position', 'temperature')),
  block_index INTEGER NOT NULL,
  unit TEXT NOT NULL CHECK (unit IN ('counts', 'mdegC', 'N', 'm', 'degC')),
  device_times_us BLOB,
  times_s BLOB,
  values_in_unit BLOB NOT NULL,
  PRIMARY KEY (recording_id, kind, block_index),
  CHECK (CASE WHEN unit IN ('counts', 'mdegC')
    THEN times_s IS NULL AND length(device_times_us) = 2 * length(values_in_unit)
    ELSE device_times_us IS NULL AND length(times_s) = length(values_in_unit) END)
) STRICT;

CREATE TRIGGER recordings_are_kept BEFORE DELETE ON recording BEGIN SELECT RAISE(ABORT, 'recordings are kept'); END;
CREATE TRIGGER samples_are_kept BEFORE DELETE ON block BEGIN SELECT RAISE(ABORT, 'samples are kept'); END;
CREATE TRIGGER samples_stay BEFORE UPDATE ON block BEGIN SELECT RAISE(ABORT, 'samples stay as recorded'); END;
CREATE TRIGGER calibrations_stay BEFORE UPDATE ON calibration BEGIN SELECT RAISE(ABORT, 'calibrations get versions'); END;
`,
  RIG_CARE_TABLES,
  SEGMENT_AND_CHECKSUM_COLUMNS,
  SHELF_TABLE,
  EDIT_TABLES,
];

export const SCHEMA_VERSION = MIGRATIONS.length;

/** Marks an SQLite file as ours ("dpbl"), so that somebody else's database is never migrated. */
export const APPLICATION_ID = 0x6470626c;

export const IDENTITY_CALIBRATION_ID = 1;
