/**
 * A step of the schema: what people did to shocks, builds, recordings, photos and the shelf, as events; photos; the bin.
 * The other tables hold the present, the edits how it came about, and both are written in one go.
 */
export const EDIT_TABLES = `
CREATE TABLE edit (
  id INTEGER PRIMARY KEY,
  action TEXT NOT NULL,
  -- The edit that this one takes back, or does again.
  of_edit_id INTEGER REFERENCES edit,
  happened_at TEXT NOT NULL,
  CHECK ((of_edit_id IS NOT NULL) = (action IN ('undo', 'redo')))
) STRICT;

CREATE TABLE edited_value (
  edit_id INTEGER NOT NULL REFERENCES edit,
  kind TEXT NOT NULL CHECK (kind IN ('shock', 'build', 'recording', 'photo', 'shelf')),
  -- The row's id; of the shelf kind and name, 'oil/thin'.
  item TEXT NOT NULL,
  field TEXT NOT NULL,
  before_json TEXT NOT NULL,
  after_json TEXT NOT NULL
) STRICT;
CREATE INDEX value_of_edit ON edited_value (edit_id);
CREATE INDEX edit_of_item ON edited_value (kind, item, edit_id);

CREATE TABLE photo (
  id INTEGER PRIMARY KEY,
  build_id INTEGER NOT NULL REFERENCES build,
  media_type TEXT NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/webp')),
  width_px INTEGER NOT NULL,
  height_px INTEGER NOT NULL,
  caption TEXT NOT NULL,
  binned INTEGER NOT NULL DEFAULT 0 CHECK (binned IN (0, 1)),
  -- Null once the bin that it lay in was emptied.
  content BLOB,
  added_at TEXT NOT NULL
) STRICT;
CREATE INDEX photo_of_build ON photo (build_id);

-- A build's name while it lies in the bin; its place in the name column is then taken by one that nobody can type.
ALTER TABLE build ADD COLUMN binned_name TEXT;

-- What was in the bin when that was emptied: builds and recordings by id, the shelf's by the id of its last event.
CREATE TABLE emptied (
  kind TEXT NOT NULL CHECK (kind IN ('build', 'recording', 'photo', 'shelf')),
  item_id INTEGER NOT NULL,
  PRIMARY KEY (kind, item_id)
) STRICT;

CREATE VIEW build_now AS
  SELECT id, shock_id, parent_build_id, coalesce(binned_name, name) AS name, binned_name IS NOT NULL AS binned,
    change, properties_json, created_at
  FROM build WHERE id NOT IN (SELECT item_id FROM emptied WHERE kind = 'build');

-- Set aside: in the bin itself, or with its build.
DROP VIEW recording_now;
CREATE VIEW recording_now AS
  SELECT recording.*, state, reason, owner, changed_at, state = 'discarded' OR build.binned AS set_aside
  FROM recording JOIN build_now AS build ON build.id = build_id
  JOIN recording_state ON recording_state.id =
    (SELECT max(id) FROM recording_state WHERE recording_id = recording.id)
  WHERE recording.id NOT IN (SELECT item_id FROM emptied WHERE kind = 'recording');

CREATE TRIGGER only_the_bin_is_emptied BEFORE INSERT ON emptied
  WHEN (NEW.kind = 'recording' AND EXISTS (SELECT 1 FROM recording_now WHERE id = NEW.item_id AND NOT set_aside))
    OR (NEW.kind = 'build' AND EXISTS (SELECT 1 FROM build_now WHERE id = NEW.item_id AND NOT binned))
  BEGIN SELECT RAISE(ABORT, 'only what lies in the bin is deleted'); END;
DROP TRIGGER samples_are_kept;
CREATE TRIGGER samples_are_kept BEFORE DELETE ON block
  WHEN NOT EXISTS (SELECT 1 FROM emptied WHERE kind = 'recording' AND item_id = OLD.recording_id)
  BEGIN SELECT RAISE(ABORT, 'samples are kept'); END;
CREATE TRIGGER edits_stay BEFORE UPDATE ON edit BEGIN SELECT RAISE(ABORT, 'edits stay'); END;
CREATE TRIGGER edits_are_kept BEFORE DELETE ON edit BEGIN SELECT RAISE(ABORT, 'edits are kept'); END;
CREATE TRIGGER values_stay BEFORE UPDATE ON edited_value BEGIN SELECT RAISE(ABORT, 'edits stay'); END;
CREATE TRIGGER values_are_kept BEFORE DELETE ON edited_value BEGIN SELECT RAISE(ABORT, 'edits are kept'); END;
`;
