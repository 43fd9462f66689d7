import { DaqError } from '../daq-error.js';
import type { Shelf } from '../files/shelf-file.js';
import type { Connection } from './open-database.js';

/** What each kind of item is described by; the same keys as in a shelf file. */
export interface ShelfParts {
  readonly oil: Shelf['oils'][number];
  readonly piston: Shelf['pistons'][number] & { readonly name: string };
  readonly seal: Shelf['seals'][number];
  readonly spring: Shelf['springs'][number];
  readonly drill: { readonly name: string; readonly drill_mm: number };
}

export type ShelfKind = keyof ShelfParts;

export interface ShelfItem<Kind extends ShelfKind = ShelfKind> {
  readonly kind: Kind;
  readonly name: string;
  readonly part: ShelfParts[Kind];
  /** Removed, and waiting to be restored. */
  readonly binned: boolean;
  readonly changedAt: string;
}

interface ShelfRow {
  kind: ShelfKind;
  name: string;
  event: 'put' | 'removed' | 'restored';
  properties_json: string;
  happened_at: string;
}

/** The part of the logbook that knows what there is to build with. */
export function shelf(connection: Connection, now: () => string) {
  const insert = connection.prepare<[string, string, string, string, string], ShelfRow>(
    `INSERT INTO shelf_event (kind, name, event, properties_json, happened_at) VALUES (?, ?, ?, ?, ?) RETURNING *`,
  );
  const selectNewest = connection.prepare<[], ShelfRow>(
    `SELECT * FROM shelf_event WHERE id IN (SELECT max(id) FROM shelf_event GROUP BY kind, name)
     ORDER BY (SELECT min(id) FROM shelf_event AS first WHERE first.kind = shelf_event.kind AND first.name = shelf_event.name)`,
  );

  const items = (): ShelfItem[] => selectNewest.all().map(itemOf);
  const enter = (kind: ShelfKind, part: ShelfParts[ShelfKind], event: ShelfRow['event']): ShelfItem =>
    itemOf(insert.get(kind, part.name, event, JSON.stringify(part), now())!);

  function move(kind: ShelfKind, name: string, event: 'removed' | 'restored'): ShelfItem {
    const wantsBinned = event === 'restored';
    const item = items().find((one) => one.kind === kind && one.name === name);
    if (item?.binned !== wantsBinned)
      throw new DaqError('unknown-name', {
        where: `${kind} '${name}'`,
        found: item ? (item.binned ? 'it is in the bin' : 'it is on the shelf') : 'no such item',
        wanted: wantsBinned ? 'an item in the bin' : 'an item on the shelf',
      });
    return enter(kind, item.part, event);
  }

  return {
    /** Puts an item on the shelf, or describes one that is there anew; the earlier description is kept beneath. */
    putOnShelf: <Kind extends ShelfKind>(kind: Kind, part: ShelfParts[Kind]) =>
      enter(kind, part, 'put') as ShelfItem<Kind>,
    /** @throws DaqError 'unknown-name' for an item that is not on the shelf */
    removeFromShelf: (kind: ShelfKind, name: string): ShelfItem => move(kind, name, 'removed'),
    /** @throws DaqError 'unknown-name' for an item that is not in the bin */
    restoreToShelf: (kind: ShelfKind, name: string): ShelfItem => move(kind, name, 'restored'),
    /** Every item that ever was there, in the order of their first entry. */
    listShelf: items,
    /** What is on the shelf, as a shelf file would say it. */
    readShelf(): Shelf {
      const there = items().filter(({ binned }) => !binned);
      const of = <Kind extends ShelfKind>(kind: Kind) =>
        there.filter((item) => item.kind === kind).map(({ part }) => part as ShelfParts[Kind]);
      return {
        oils: of('oil'),
        pistons: of('piston'),
        drills_mm: of('drill').map(({ drill_mm }) => drill_mm),
        seals: of('seal'),
        springs: of('spring'),
      };
    },
  };
}

function itemOf({ kind, name, event, properties_json, happened_at }: ShelfRow): ShelfItem {
  return {
    kind,
    name,
    part: JSON.parse(properties_json) as ShelfParts[ShelfKind],
    binned: event === 'removed',
    changedAt: happened_at,
  };
}
