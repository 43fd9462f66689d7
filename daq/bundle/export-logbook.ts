import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { DaqError } from '../daq-error.js';
import { unwritable } from '../files/unwritable.js';
import type { RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { exportBundle } from './export-bundle.js';

export const INDEX_FILE = 'logbook.json';

/** What became of one recording of a whole logbook. */
export interface ExportedRecording {
  readonly recordingId: RecordingId;
  /** Folder of its bundle beside the index; null where it could not be read or is still being recorded. */
  readonly folder: string | null;
  /** Why there is none; empty otherwise. */
  readonly reason: string;
}

/**
 * Writes a whole logbook as files that outlive this program: an index of shocks, builds with their lineage, rigs'
 * calibrations and recordings, and every recording as a bundle, discarded ones too. What cannot be read is named and
 * passed over, so that a damaged logbook gives up the rest.
 * @param folder made here; what was there before is never touched
 * @throws DaqError 'file-exists', 'file-unwritable'
 */
export async function exportLogbook(logbook: Logbook, folder: string): Promise<ExportedRecording[]> {
  try {
    await mkdir(folder);
  } catch (error) {
    throw unwritable(folder, error);
  }
  const recordings = logbook.listRecordings({ withDiscarded: true });
  const exported: ExportedRecording[] = [];
  for (const { id } of recordings) {
    const name = `recording-${id}`;
    try {
      await exportBundle(logbook, id, join(folder, name));
      exported.push({ recordingId: id, folder: name, reason: '' });
    } catch (error) {
      if (!(error instanceof DaqError) || !['logbook-damaged', 'wrong-state'].includes(error.code))
        throw error;
      exported.push({ recordingId: id, folder: null, reason: error.message });
    }
  }
  const index = {
    format: 'dashpot-bench logbook',
    version: 1,
    shocks: logbook.listShocks(),
    builds: logbook.listBuilds({ withBinned: true }),
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
  try {
    await writeFile(join(folder, INDEX_FILE), `${JSON.stringify(index, null, 2)}\n`, { flag: 'wx' });
  } catch (error) {
    throw unwritable(folder, error);
  }
  return exported;
}
