import { DaqError } from '../daq-error.js';
import type { Build, BuildId, NewBuild, NewShock, Properties, Shock, ShockId } from './entities.js';
import type { Connection } from './open-database.js';

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
  recordings: number;
}

/** The part of the logbook that knows what was on the rig. */
export function shocksAndBuilds(connection: Connection, now: () => string) {
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
    `SELECT build.*, shock.name AS shock_name,
       (SELECT count(*) FROM recording_now WHERE build_id = build.id AND state != 'discarded') AS recordings
     FROM build JOIN shock ON shock.id = build.shock_id ORDER BY build.id`,
  );

  function listBuilds(): Build[] {
    const builds = new Map<BuildId, Build>();
    // A parent is always older than its child, so it has been met already.
    for (const row of selectBuilds.all()) {
      const parent = row.parent_build_id === null ? undefined : builds.get(row.parent_build_id);
      builds.set(row.id, {
        id: row.id,
        shockId: row.shock_id,
        shockName: row.shock_name,
        parentBuildId: row.parent_build_id,
        parentName: parent?.name ?? null,
        name: row.name,
        change: row.change,
        properties: JSON.parse(row.properties_json) as Properties,
        createdAt: row.created_at,
        lineage: [...(parent?.lineage ?? []), row.name],
        recordings: row.recordings,
      });
    }
    return [...builds.values()];
  }

  return {
    /**
     * @throws DaqError 'name-taken'
     */
    createShock({ name, properties = {} }: NewShock): Shock {
      if (selectShock.get(name)) throw taken('shock', name);
      return shockOf(insertShock.get(name, JSON.stringify(properties), now())!);
    },
    listShocks: (): Shock[] => selectShocks.all().map(shockOf),
    findShock(name: string): Shock | undefined {
      const row = selectShock.get(name);
      return row && shockOf(row);
    },
    /**
     * @throws DaqError 'name-taken'; 'unknown-name' for a shock or parent that is not there, or a parent of another shock
     */
    createBuild(build: NewBuild): Build {
      const { shockId, name, parentBuildId = null, change = '', properties = {} } = build;
      const builds = listBuilds();
      if (builds.some((other) => other.name === name)) throw taken('build', name);
      if (!selectShocks.all().some((shock) => shock.id === shockId))
        throw unknown(`shock ${shockId}`, 'a shock of this logbook');
      if (parentBuildId !== null && !builds.some((b) => b.id === parentBuildId && b.shockId === shockId))
        throw unknown(`parent build ${parentBuildId}`, 'a build of the same shock');
      const id = insertBuild.get(shockId, parentBuildId, name, change, JSON.stringify(properties), now())!;
      return listBuilds().find((made) => made.id === id)!;
    },
    /** All builds, oldest first. */
    listBuilds,
    findBuild: (name: string): Build | undefined => listBuilds().find((build) => build.name === name),
  };
}

function shockOf({ id, name, properties_json, created_at }: ShockRow): Shock {
  return { id, name, properties: JSON.parse(properties_json) as Properties, createdAt: created_at };
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
