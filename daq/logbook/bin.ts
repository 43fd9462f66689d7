import { DaqError } from '../daq-error.js';
import type { EditedKind, Edits } from './edits.js';
import type { BuildId } from './entities.js';
import { type Connection, inOneGo } from './open-database.js';

export type BinnedKind = Exclude<EditedKind, 'shock'>;

/** Something that was thrown away and can be taken back. */
export interface BinItem {
  readonly kind: BinnedKind;
  /** The row's id; of the shelf kind and name, 'oil/thin'. */
  readonly item: string;
  readonly name: string;
  /** The build that a recording or photo belongs to; empty otherwise. */
  readonly ofBuild: string;
  readonly reason: string;
  readonly binnedAt: string;
  /** Recordings that lie in the bin with their build. */
  readonly recordings: number;
}

interface BinRow extends Omit<BinItem, 'item' | 'ofBuild' | 'binnedAt'> {
  item: string;
  of_build: string;
  binned_at: string;
  row_id: number;
}

/** The part of the logbook that knows what was thrown away. Nothing leaves the logbook but by emptying this. */
export function bin(connection: Connection, history: Edits) {
  const lastEdit = (kind: BinnedKind, id: string) =>
    `coalesce((SELECT happened_at FROM edit WHERE id = (SELECT max(edit_id) FROM edited_value
       WHERE kind = '${kind}' AND item = ${id})), '')`;
  const select = connection.prepare<[], BinRow>(
    `SELECT 'build' AS kind, CAST(id AS TEXT) AS item, id AS row_id, name, '' AS of_build, '' AS reason,
       ${lastEdit('build', 'CAST(build_now.id AS TEXT)')} AS binned_at,
       (SELECT count(*) FROM recording_now WHERE build_id = build_now.id) AS recordings
     FROM build_now WHERE binned
     UNION ALL
     SELECT 'recording', CAST(recording_now.id AS TEXT), recording_now.id, 'remount ' || remount, build.name, reason,
       changed_at, 0
     FROM recording_now JOIN build_now AS build ON build.id = build_id
     WHERE state = 'discarded' AND NOT build.binned
     UNION ALL
     SELECT 'photo', CAST(photo.id AS TEXT), photo.id, caption, build.name, '',
       ${lastEdit('photo', 'CAST(photo.id AS TEXT)')}, 0
     FROM photo JOIN build_now AS build ON build.id = build_id
     WHERE photo.binned AND content IS NOT NULL AND NOT build.binned
     UNION ALL
     SELECT 'shelf', kind || '/' || name, id, name, '', '', happened_at, 0
     FROM shelf_event WHERE event = 'removed'
       AND id IN (SELECT max(id) FROM shelf_event GROUP BY kind, name)
       AND id NOT IN (SELECT item_id FROM emptied WHERE kind = 'shelf')
     ORDER BY binned_at DESC, kind, row_id`,
  );
  const enter = connection.prepare<[BinnedKind, number]>('INSERT INTO emptied (kind, item_id) VALUES (?, ?)');
  const dropSamples = connection.prepare<[number]>('DELETE FROM block WHERE recording_id = ?');
  const dropPhoto = connection.prepare<[number]>('UPDATE photo SET content = NULL, binned = 1 WHERE id = ?');
  const recordingsOf = connection
    .prepare<[number], number>('SELECT id FROM recording_now WHERE build_id = ?')
    .pluck();
  const photosOf = connection.prepare<[number], number>('SELECT id FROM photo WHERE build_id = ?').pluck();

  const drop: Readonly<Record<BinnedKind, (id: number) => void>> = {
    recording(id) {
      enter.run('recording', id);
      dropSamples.run(id);
    },
    photo: (id) => void dropPhoto.run(id),
    shelf: (id) => void enter.run('shelf', id),
    build(id) {
      for (const recording of recordingsOf.all(id)) drop.recording(recording);
      for (const photo of photosOf.all(id)) drop.photo(photo);
      enter.run('build', id);
    },
  };

  const listBin = (): BinItem[] =>
    select.all().map(({ kind, item, name, of_build, reason, binned_at, recordings }) => ({
      kind,
      item,
      name,
      ofBuild: of_build,
      reason,
      binnedAt: binned_at,
      recordings,
    }));

  function moveBuild(id: BuildId, binned: boolean): void {
    const row = connection
      .prepare<[number], { binned: 0 | 1 }>('SELECT binned FROM build_now WHERE id = ?')
      .get(id);
    if (!row || (row.binned === 1) === binned)
      throw new DaqError('unknown-name', {
        where: `build ${id}`,
        found: !row ? 'no such build' : binned ? 'a build in the bin' : 'a build that is not in the bin',
        wanted: binned ? 'a build that is not in the bin' : 'a build in the bin',
      });
    history.edit(binned ? 'bin' : 'restore', [
      { kind: 'build', item: String(id), field: 'binned', before: !binned, after: binned },
    ]);
  }

  return {
    listBin,
    /**
     * Moves a build to the bin, and its recordings and photos with it. Builds made from it stay.
     * @throws DaqError 'unknown-name', 'wrong-state' while one is being recorded
     */
    binBuild: (id: BuildId): void => moveBuild(id, true),
    /** @throws DaqError 'unknown-name', 'name-taken' when another build has its name meanwhile */
    restoreBuild: (id: BuildId): void => moveBuild(id, false),
    /**
     * Deletes what is in the bin: samples and photos go for good, and nothing before can be undone.
     * @param count how many items its owner saw in it and agreed to lose
     * @throws DaqError 'wrong-state' when there are more or fewer by now
     */
    emptyBin(count: number): void {
      inOneGo(connection, () => {
        const rows = select.all();
        if (rows.length !== count)
          throw new DaqError('wrong-state', {
            where: 'the bin',
            found: `${rows.length} things in it by now`,
            wanted: `the ${count} that were shown; look again`,
          });
        for (const { kind, row_id } of rows) drop[kind](row_id);
        history.edit('empty-bin', []);
      });
    },
  };
}
