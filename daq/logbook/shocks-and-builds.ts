import { DaqError } from '../daq-error.js';
import { partChanges, partsOfBuild, wholeProperties } from './build-parts.js';
import type { EditedValue, Edits } from './edits.js';
import type { Build, BuildId, NewBuild, NewShock, Properties, Shock, ShockId } from './entities.js';
import { type Connection, inOneGo } from './open-database.js';

interface ShockRow {
  id: ShockId;
  name: string;
  properties_json: string;
  created_at: string;
}

interface BuildRow {
  id: BuildId;
  shock_id: ShockId;
  shock_name: string;
  parent_build_id: BuildId | null;
  name: string;
  change: string;
  properties_json: string;
  created_at: string;
  binned: 0 | 1;
  emptied: 0 | 1;
  recordings: number;
}

/** What can be said anew of a shock or a build; what is left out stays. */
export interface Redescribed {
  readonly name?: string | undefined;
  readonly change?: string | undefined;
  readonly properties?: Properties | undefined;
}

/** The part of the logbook that knows what was on the rig. */
export function shocksAndBuilds(connection: Connection, now: () => string, history: Edits) {
  const insertShock = connection.prepare<[string, string, string], ShockRow>(
    'INSERT INTO shock (name, properties_json, created_at) VALUES (?, ?, ?) RETURNING *',
  );
  const selectShocks = connection.prepare<[], ShockRow>('SELECT * FROM shock ORDER BY id');
  const selectShock = connection.prepare<[string], ShockRow>('SELECT * FROM shock WHERE name = ?');
  const insertBuild = connection
    .prepare<[number, number | null, string, string, string, string], BuildId>(
      `INSERT INTO build (shock_id, parent_build_id, name, change, properties_json, created_at)
       VALUES (?, ?, ?, ?, ?, ?) RETURNING id`,
    )
    .pluck();
  const selectBuilds = connection.prepare<[], BuildRow>(
    `SELECT build.id, shock_id, parent_build_id, coalesce(binned_name, build.name) AS name, change,
       build.properties_json, build.created_at, binned_name IS NOT NULL AS binned,
       build.id IN (SELECT item_id FROM emptied WHERE kind = 'build') AS emptied, shock.name AS shock_name,
       (SELECT count(*) FROM recording_now WHERE build_id = build.id AND state != 'discarded') AS recordings
     FROM build JOIN shock ON shock.id = build.shock_id ORDER BY build.id`,
  );
  const putInShock = {
    name: connection.prepare<[string, string]>('UPDATE shock SET name = ? WHERE id = ?'),
    properties: connection.prepare<[string, string]>('UPDATE shock SET properties_json = ? WHERE id = ?'),
  };
  const putInBuild = {
    name: connection.prepare<[string, string]>('UPDATE build SET name = ? WHERE id = ?'),
    change: connection.prepare<[string, string]>('UPDATE build SET change = ? WHERE id = ?'),
    properties: connection.prepare<[string, string]>('UPDATE build SET properties_json = ? WHERE id = ?'),
  };
  const recordingUnderWay = connection.prepare<[string]>(
    "SELECT 1 FROM recording_now WHERE build_id = ? AND state = 'recording'",
  );
  // The unit separator cannot be typed as a name.
  const bin = connection.prepare<[string]>(
    'UPDATE build SET binned_name = name, name = char(31) || id WHERE id = ? AND binned_name IS NULL',
  );
  const restore = connection.prepare<[string]>(
    'UPDATE build SET name = binned_name, binned_name = NULL WHERE id = ? AND binned_name IS NOT NULL',
  );

  history.applyWith('shock', (item, field, value) => {
    if (field === 'name') {
      refuseTakenShock(String(value));
      putInShock.name.run(String(value), item);
    } else putInShock.properties.run(JSON.stringify(value), item);
  });
  history.applyWith('build', (item, field, value) => {
    if (field === 'binned' && value) {
      // Emptying the bin would take the samples away from under the recording.
      if (recordingUnderWay.get(item)) throw underWay(item);
      bin.run(item);
    } else if (field === 'binned') {
      const build = allBuilds().find(({ id }) => String(id) === item);
      if (build?.binned) refuseTakenBuild(build.name);
      restore.run(item);
    } else if (field === 'name') {
      refuseTakenBuild(String(value));
      putInBuild.name.run(String(value), item);
    } else if (field === 'change') putInBuild.change.run(String(value), item);
    else putInBuild.properties.run(JSON.stringify(value), item);
  });

  function refuseTakenShock(name: string): void {
    if (selectShock.get(name)) throw taken('shock', name);
  }

  function refuseTakenBuild(name: string): void {
    if (listBuilds().some((other) => other.name === name)) throw taken('build', name);
  }

  function allBuilds(): Build[] {
    const builds = new Map<BuildId, Build>();
    // One that was emptied from the bin is gone, but not from what was made from it.
    const gone = new Set<BuildId>();
    // A parent is always older than its child, so it has been met already.
    for (const row of selectBuilds.all()) {
      const parent = row.parent_build_id === null ? undefined : builds.get(row.parent_build_id);
      const properties = JSON.parse(row.properties_json) as Properties;
      const fitted = partsOfBuild(properties, parent?.fitted ?? []);
      builds.set(row.id, {
        id: row.id,
        shockId: row.shock_id,
        shockName: row.shock_name,
        parentBuildId: row.parent_build_id,
        parentName: parent && !gone.has(parent.id) ? parent.name : null,
        name: row.name,
        change: row.change,
        properties,
        fitted,
        changes: partChanges(fitted, parent?.fitted ?? []),
        wholeProperties: wholeProperties(properties, fitted),
        createdAt: row.created_at,
        lineage: [...(parent?.lineage ?? []), row.name],
        recordings: row.recordings,
        binned: row.binned === 1,
      });
      if (row.emptied) gone.add(row.id);
    }
    return [...builds.values()].filter(({ id }) => !gone.has(id));
  }

  /** All builds, oldest first; those in the bin only when asked for. */
  function listBuilds({ withBinned = false }: { withBinned?: boolean } = {}): Build[] {
    return allBuilds().filter(({ binned }) => withBinned || !binned);
  }

  return {
    /**
     * @throws DaqError 'name-taken'
     */
    createShock({ name, properties = {} }: NewShock): Shock {
      refuseTakenShock(name);
      return shockOf(insertShock.get(name, JSON.stringify(properties), now())!);
    },
    listShocks: (): Shock[] => selectShocks.all().map(shockOf),
    findShock(name: string): Shock | undefined {
      const row = selectShock.get(name);
      return row && shockOf(row);
    },
    /** @throws DaqError 'unknown-name', 'name-taken' */
    editShock(id: ShockId, { name, properties }: Omit<Redescribed, 'change'>): void {
      const shock = selectShocks
        .all()
        .map(shockOf)
        .find((one) => one.id === id);
      if (!shock) throw unknown(`shock ${id}`, 'a shock of this logbook');
      history.edit('change', redescribed('shock', shock, { name, properties }));
    },
    /**
     * @throws DaqError 'name-taken'; 'unknown-name' for a shock or parent that is not there, or a parent of another shock
     */
    createBuild(build: NewBuild): Build {
      const { shockId, name, parentBuildId = null, change = '', properties = {} } = build;
      refuseTakenBuild(name);
      if (!selectShocks.all().some((shock) => shock.id === shockId))
        throw unknown(`shock ${shockId}`, 'a shock of this logbook');
      if (
        parentBuildId !== null &&
        !listBuilds().some((other) => other.id === parentBuildId && other.shockId === shockId)
      )
        throw unknown(`parent build ${parentBuildId}`, 'a build of the same shock');
      return inOneGo(connection, () => {
        const id = insertBuild.get(shockId, parentBuildId, name, change, JSON.stringify(properties), now())!;
        history.edit('create', [
          { kind: 'build', item: String(id), field: 'binned', before: true, after: false },
        ]);
        return listBuilds().find((made) => made.id === id)!;
      });
    },
    /**
     * Says something anew of a build. Builds made from it inherit its parts as they are then.
     * @throws DaqError 'unknown-name' for one that is not there or in the bin, 'name-taken'
     */
    editBuild(id: BuildId, said: Redescribed): void {
      const build = listBuilds().find((one) => one.id === id);
      if (!build) throw unknown(`build ${id}`, 'a build of this logbook that is not in the bin');
      history.edit('change', redescribed('build', build, said));
    },
    listBuilds,
    findBuild: (name: string): Build | undefined => listBuilds().find((build) => build.name === name),
  };
}

function redescribed(kind: 'shock' | 'build', thing: Shock | Build, said: Redescribed): EditedValue[] {
  return Object.entries(said)
    .filter(([, after]) => after !== undefined)
    .map(([field, after]) => ({
      kind,
      item: String(thing.id),
      field,
      before: thing[field as keyof typeof thing],
      after,
    }));
}

function shockOf({ id, name, properties_json, created_at }: ShockRow): Shock {
  return { id, name, properties: JSON.parse(properties_json) as Properties, createdAt: created_at };
}

function underWay(id: string): DaqError {
  return new DaqError('wrong-state', {
    where: `build ${id}`,
    found: 'a build that is being recorded',
    wanted: 'one whose recordings have ended',
  });
}

function taken(what: string, name: string): DaqError {
  return new DaqError('name-taken', {
    where: `${what} name`,
    found: `'${name}', which is in the logbook already`,
    wanted: 'a new name',
  });
}

function unknown(found: string, wanted: string): DaqError {
  return new DaqError('unknown-name', { where: 'build', found, wanted });
}
