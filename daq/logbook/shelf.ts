import { DaqError } from '../daq-error.js';
import type { Shelf } from '../files/shelf-file.js';
import type { Edits } from './edits.js';
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

/** An item as the history knows it. */
interface Shelved {
  readonly part: ShelfParts[ShelfKind];
  readonly binned: boolean;
}

interface ShelfRow {
  kind: ShelfKind;
  name: string;
  event: 'put' | 'removed' | 'restored';
  properties_json: string;
  happened_at: string;
}

/** The part of the logbook that knows what there is to build with. */
export function shelf(connection: Connection, now: () => string, history: Edits) {
  const insert = connection.prepare<[string, string, string, string, string]>(
    'INSERT INTO shelf_event (kind, name, event, properties_json, happened_at) VALUES (?, ?, ?, ?, ?)',
  );
  const selectNewest = connection.prepare<[], ShelfRow>(
    `SELECT * FROM shelf_event WHERE id IN (SELECT max(id) FROM shelf_event GROUP BY kind, name)
       AND id NOT IN (SELECT item_id FROM emptied WHERE kind = 'shelf')
     ORDER BY (SELECT min(id) FROM shelf_event AS first WHERE first.kind = shelf_event.kind AND first.name = shelf_event.name)`,
  );

  const items = (): ShelfItem[] => selectNewest.all().map(itemOf);
  const find = (kind: ShelfKind, name: string) =>
    items().find((item) => item.kind === kind && item.name === name);

  history.applyWith('shelf', (item, _field, value) => {
    const [kind, name] = splitItem(item);
    const present = find(kind, name);
    const { part, binned } = (value as Shelved | null) ?? { part: present!.part, binned: true };
    const isSame = JSON.stringify(part) === JSON.stringify(present?.part);
    const event = binned ? 'removed' : isSame && present?.binned ? 'restored' : 'put';
    insert.run(kind, name, event, JSON.stringify(part), now());
  });

  function enter(
    action: 'create' | 'change' | 'bin' | 'restore',
    kind: ShelfKind,
    after: Shelved,
  ): ShelfItem {
    const { name } = after.part;
    const item = find(kind, name);
    const before: Shelved | null = item ? { part: item.part, binned: item.binned } : null;
    history.edit(action, [{ kind: 'shelf', item: `${kind}/${name}`, field: 'item', before, after }]);
    return find(kind, name)!;
  }

  function move(kind: ShelfKind, name: string, action: 'bin' | 'restore'): ShelfItem {
    const wantsBinned = action === 'restore';
    const item = find(kind, name);
    if (item?.binned !== wantsBinned)
      throw new DaqError('unknown-name', {
        where: `${kind} '${name}'`,
        found: item ? (item.binned ? 'it is in the bin' : 'it is on the shelf') : 'no such item',
        wanted: wantsBinned ? 'an item in the bin' : 'an item on the shelf',
      });
    return enter(action, kind, { part: item.part, binned: !wantsBinned });
  }

  return {
    /** Puts an item on the shelf, or describes one that is there anew; the earlier description is kept beneath. */
    putOnShelf: <Kind extends ShelfKind>(kind: Kind, part: ShelfParts[Kind]) =>
      enter(find(kind, part.name) ? 'change' : 'create', kind, { part, binned: false }) as ShelfItem<Kind>,
    /** @throws DaqError 'unknown-name' for an item that is not on the shelf */
    removeFromShelf: (kind: ShelfKind, name: string): ShelfItem => move(kind, name, 'bin'),
    /** @throws DaqError 'unknown-name' for an item that is not in the bin */
    restoreToShelf: (kind: ShelfKind, name: string): ShelfItem => move(kind, name, 'restore'),
    /** What is on the shelf or in the bin, in the order of the first entries. */
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

function splitItem(item: string): [kind: ShelfKind, name: string] {
  const at = item.indexOf('/');
  return [item.slice(0, at) as ShelfKind, item.slice(at + 1)];
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
