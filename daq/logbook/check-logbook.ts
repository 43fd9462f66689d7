import { DaqError } from '../daq-error.js';
import type { RecordingId } from './entities.js';
import { openDatabase } from './open-database.js';
import { openLogbook } from './open-logbook.js';

export interface LogbookCheck {
  readonly recordings: number;
  /** What is wrong, in words; a recording's id where it is one's samples. Empty when all is as it was written. */
  readonly damages: readonly { readonly recordingId: RecordingId | null; readonly found: string }[];
}

/**
 * Reads all of a logbook: the structure of its file, and every block against its checksum.
 * @throws DaqError when it cannot even be opened
 */
export function checkLogbook(path: string): LogbookCheck {
  const damages: { recordingId: RecordingId | null; found: string }[] = [];
  const connection = openDatabase(path, true);
  try {
    const complaints = connection.pragma('quick_check(20)', { simple: false }) as { quick_check: string }[];
    for (const { quick_check } of complaints)
      if (quick_check !== 'ok') damages.push({ recordingId: null, found: quick_check });
  } catch (error) {
    damages.push({ recordingId: null, found: (error as Error).message });
  } finally {
    connection.close();
  }
  const logbook = openLogbook(path, { readOnly: true });
  try {
    const recordings = logbook.listRecordings({ withDiscarded: true });
    for (const { id } of recordings)
      try {
        logbook.readChannels(id);
      } catch (error) {
        if (!(error instanceof DaqError)) throw error;
        damages.push({ recordingId: id, found: error.detail.found });
      }
    return { recordings: recordings.length, damages };
  } finally {
    logbook.close();
  }
}
