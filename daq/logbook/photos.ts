import { DaqError } from '../daq-error.js';
import { type PhotoType, photoForm } from '../files/photo-form.js';
import type { Edits } from './edits.js';
import type { BuildId } from './entities.js';
import { type Connection, inOneGo } from './open-database.js';

export type PhotoId = number & { readonly id: 'photo' };

export interface Photo {
  readonly id: PhotoId;
  readonly buildId: BuildId;
  readonly mediaType: PhotoType;
  readonly width_px: number;
  readonly height_px: number;
  readonly caption: string;
  readonly binned: boolean;
  readonly addedAt: string;
}

const MOST_PHOTOS_OF_A_BUILD = 24;

interface PhotoRow {
  id: PhotoId;
  build_id: BuildId;
  media_type: PhotoType;
  width_px: number;
  height_px: number;
  caption: string;
  binned: 0 | 1;
  added_at: string;
}

/** The part of the logbook that keeps photos of builds, as they are and in the same file. */
export function photos(connection: Connection, now: () => string, history: Edits) {
  const insert = connection
    .prepare<Record<string, unknown>, PhotoId>(
      `INSERT INTO photo (build_id, media_type, width_px, height_px, caption, content, added_at)
       VALUES (@buildId, @mediaType, @width_px, @height_px, @caption, @content, @now) RETURNING id`,
    )
    .pluck();
  const select = connection.prepare<[], PhotoRow>(
    `SELECT id, build_id, media_type, width_px, height_px, caption, binned, added_at FROM photo
     WHERE content IS NOT NULL ORDER BY id`,
  );
  const selectContent = connection
    .prepare<[number], Buffer | null>('SELECT content FROM photo WHERE id = ?')
    .pluck();
  const put = {
    caption: connection.prepare<[string, string]>('UPDATE photo SET caption = ? WHERE id = ?'),
    binned: connection.prepare<[number, string]>('UPDATE photo SET binned = ? WHERE id = ?'),
  };

  history.applyWith('photo', (item, field, value) => {
    if (field === 'caption') put.caption.run(String(value), item);
    else put.binned.run(value ? 1 : 0, item);
  });

  const listPhotos = (): Photo[] =>
    select.all().map(({ id, build_id, media_type, width_px, height_px, caption, binned, added_at }) => ({
      id,
      buildId: build_id,
      mediaType: media_type,
      width_px,
      height_px,
      caption,
      binned: binned === 1,
      addedAt: added_at,
    }));

  function find(id: PhotoId): Photo {
    const photo = listPhotos().find((one) => one.id === id);
    if (photo) return photo;
    throw new DaqError('unknown-name', {
      where: `photo ${id}`,
      found: 'no such photo',
      wanted: 'a photo of this logbook',
    });
  }

  function moveTo(id: PhotoId, binned: boolean): void {
    const before = find(id).binned;
    history.edit(binned ? 'bin' : 'restore', [
      { kind: 'photo', item: String(id), field: 'binned', before, after: binned },
    ]);
  }

  return {
    /**
     * Keeps a photo of a build.
     * @param where what to call it in messages, such as the file's name
     * @throws DaqError 'photo-refused' by its bytes, its size or the number of photos
     */
    addPhoto(buildId: BuildId, bytes: Uint8Array, caption: string, where: string): Photo {
      const form = photoForm(bytes, where);
      const count = listPhotos().filter((photo) => photo.buildId === buildId && !photo.binned).length;
      if (count >= MOST_PHOTOS_OF_A_BUILD)
        throw new DaqError('photo-refused', {
          where,
          found: `${count} photos of this build already`,
          wanted: `at most ${MOST_PHOTOS_OF_A_BUILD}`,
        });
      return inOneGo(connection, () => {
        const id = insert.get({ buildId, ...form, caption, content: Buffer.from(bytes), now: now() })!;
        history.edit('create', [
          { kind: 'photo', item: String(id), field: 'binned', before: true, after: false },
        ]);
        return find(id);
      });
    },
    /** Photos of all builds, those in the bin too, oldest first. */
    listPhotos,
    /** @throws DaqError 'unknown-name' */
    readPhoto(id: PhotoId): { readonly photo: Photo; readonly content: Buffer } {
      return { photo: find(id), content: selectContent.get(id)! };
    },
    /** @throws DaqError 'unknown-name' */
    captionPhoto(id: PhotoId, caption: string): void {
      const before = find(id).caption;
      history.edit('change', [{ kind: 'photo', item: String(id), field: 'caption', before, after: caption }]);
    },
    binPhoto: (id: PhotoId): void => moveTo(id, true),
    restorePhoto: (id: PhotoId): void => moveTo(id, false),
  };
}
