/** A step of the schema: what the owner has to build with. */
export const SHELF_TABLE = `
-- Of one item the newest row holds, with all its properties; nothing is deleted, what was removed lies in the bin.
CREATE TABLE shelf_event (
  id INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('oil', 'piston', 'seal', 'spring', 'drill')),
  name TEXT NOT NULL,
  event TEXT NOT NULL CHECK (event IN ('put', 'removed', 'restored')),
  properties_json TEXT NOT NULL,
  happened_at TEXT NOT NULL
) STRICT;
CREATE INDEX event_of_item ON shelf_event (kind, name, id);

CREATE TRIGGER shelf_events_stay BEFORE UPDATE ON shelf_event BEGIN SELECT RAISE(ABORT, 'shelf events stay'); END;
CREATE TRIGGER shelf_events_are_kept BEFORE DELETE ON shelf_event BEGIN SELECT RAISE(ABORT, 'shelf events are kept'); END;
`;
