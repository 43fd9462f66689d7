/**
 * A step of the schema: what calibrations hold beyond two straight lines, the profile of a rig, temperatures read off
 * by a person, and what remounts and check standards have given. JSON keys carry their units, as columns do.
 */
export const RIG_CARE_TABLES = `
-- Keys of a Calibration that have no column of their own; {} for two straight lines.
ALTER TABLE calibration ADD COLUMN more_json TEXT NOT NULL DEFAULT '{}';

-- One procedure's result; a calibration is put together from the newest of each part.
CREATE TABLE calibration_part (
  id INTEGER PRIMARY KEY,
  rig_id INTEGER NOT NULL REFERENCES rig,
  part TEXT NOT NULL CHECK (part IN ('force', 'position', 'lag', 'movingMass')),
  value_json TEXT NOT NULL,
  -- What it was found from: readings, errors, gravity, recordings.
  evidence_json TEXT NOT NULL,
  -- The version that it became part of; null while force or position were still missing.
  calibration_id INTEGER REFERENCES calibration,
  note TEXT NOT NULL,
  created_at TEXT NOT NULL
) STRICT;
CREATE INDEX part_of_rig ON calibration_part (rig_id, part, id);

CREATE TABLE rig_profile (
  id INTEGER PRIMARY KEY,
  rig_id INTEGER NOT NULL REFERENCES rig,
  version INTEGER NOT NULL,
  profile_json TEXT NOT NULL,
  note TEXT NOT NULL,
  created_at TEXT NOT NULL,
  UNIQUE (rig_id, version)
) STRICT;

-- A temperature that somebody read off, for recordings of rigs without a sensor; the newest row holds.
CREATE TABLE manual_temperature (
  id INTEGER PRIMARY KEY,
  recording_id INTEGER NOT NULL REFERENCES recording,
  temperature_degC REAL NOT NULL,
  entered_at TEXT NOT NULL
) STRICT;
CREATE INDEX temperature_of_recording ON manual_temperature (recording_id, id);

-- A build that serves as a rig's check standard; a later row begins a new history.
CREATE TABLE check_standard (
  id INTEGER PRIMARY KEY,
  rig_id INTEGER NOT NULL REFERENCES rig,
  build_id INTEGER NOT NULL REFERENCES build,
  note TEXT NOT NULL,
  created_at TEXT NOT NULL
) STRICT;

-- What a recording gave under a calibration, in the unit that the quantity's name carries (friction_N, rate_N_per_mm).
CREATE TABLE recording_result (
  id INTEGER PRIMARY KEY,
  recording_id INTEGER NOT NULL REFERENCES recording,
  calibration_id INTEGER NOT NULL REFERENCES calibration,
  quantity TEXT NOT NULL,
  value_in_unit REAL NOT NULL,
  standard_error_in_unit REAL NOT NULL CHECK (standard_error_in_unit >= 0),
  created_at TEXT NOT NULL
) STRICT;
CREATE INDEX result_of_recording ON recording_result (recording_id, quantity, id);

CREATE TRIGGER parts_stay BEFORE UPDATE ON calibration_part WHEN OLD.calibration_id IS NOT NULL
  BEGIN SELECT RAISE(ABORT, 'parts stay as found'); END;
CREATE TRIGGER profiles_stay BEFORE UPDATE ON rig_profile BEGIN SELECT RAISE(ABORT, 'profiles get versions'); END;
`;
