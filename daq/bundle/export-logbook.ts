import { createWriteStream } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { unwritable } from '../files/unwritable.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { type ExportedRecording, logbookFiles } from './logbook-files.js';

/**
 * Writes a whole logbook into a folder, as `logbookFiles` has it; one with an index in it is whole.
 * @param folder made here; what was there before is never touched
 * @throws DaqError 'file-exists', 'file-unwritable'
 */
export async function exportLogbook(logbook: Logbook, folder: string): Promise<ExportedRecording[]> {
  const files = logbookFiles(logbook);
  try {
    await mkdir(folder);
    for (let next = files.next(); ; next = files.next()) {
      if (next.done) return next.value;
      const path = join(folder, next.value.path);
      await mkdir(dirname(path), { recursive: true });
      await pipeline(Readable.from(next.value.chunks), createWriteStream(path, { flags: 'wx' }));
    }
  } catch (error) {
    throw unwritable(folder, error);
  }
}
