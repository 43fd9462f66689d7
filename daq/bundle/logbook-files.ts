import { DaqError } from '../daq-error.js';
import type { RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { bundleFiles, type FileToWrite } from './export-bundle.js';

const INDEX_FILE = 'logbook.json';

/** What became of one recording of a whole logbook. */
export interface ExportedRecording {
  readonly recordingId: RecordingId;
  /** Folder of its bundle beside the index; null where it could not be read or is still being recorded. */
  readonly folder: string | null;
  /** Why there is none; empty otherwise. */
  readonly reason: string;
}

/**
 * A whole logbook as files that outlive this program, one after the other: every recording as a bundle, those in the
 * bin too, photos, and last an index of shocks, builds with their lineage, the shelf and recordings. What cannot be
 * read is named in the index and passed over, so that a damaged logbook gives up the rest.
 * @returns what became of each recording, once all files were taken
 */
export function* logbookFiles(logbook: Logbook): Generator<FileToWrite, ExportedRecording[]> {
  const recordings = logbook.listRecordings({ withDiscarded: true });
  const exported: ExportedRecording[] = [];
  for (const { id } of recordings) {
    const folder = `recording-${id}`;
    const files = filesOrReason(logbook, id);
    if (typeof files === 'string') exported.push({ recordingId: id, folder: null, reason: files });
    else {
      for (const { path, chunks } of files) yield { path: `${folder}/${path}`, chunks };
      exported.push({ recordingId: id, folder, reason: '' });
    }
  }
  const photos = logbook.listPhotos().map((photo) => ({
    ...photo,
    file: `photos/photo-${photo.id}.${photo.mediaType.split('/')[1]!.replace('jpeg', 'jpg')}`,
  }));
  for (const { id, file } of photos) yield { path: file, chunks: [logbook.readPhoto(id).content] };
  const index = {
    format: 'dashpot-bench logbook',
    version: 1,
    shocks: logbook.listShocks(),
    builds: logbook.listBuilds({ withBinned: true }),
    shelf: logbook.readShelf(),
    photos,
    recordings: recordings.map(({ id, buildName, remount, startedAt, state, stateReason, continues }, i) => ({
      id,
      build: buildName,
      remount,
      startedAt,
      state,
      stateReason,
      continues,
      ...exported[i],
    })),
  };
  yield { path: INDEX_FILE, chunks: [`${JSON.stringify(index, null, 2)}\n`] };
  return exported;
}

function filesOrReason(logbook: Logbook, id: RecordingId): FileToWrite[] | string {
  try {
    return bundleFiles(logbook, id);
  } catch (error) {
    if (error instanceof DaqError && ['logbook-damaged', 'wrong-state'].includes(error.code))
      return error.message;
    throw error;
  }
}
