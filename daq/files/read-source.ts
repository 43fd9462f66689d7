import { readFile, stat } from 'node:fs/promises';
import { DaqError } from '../daq-error.js';

/** A file to read: its name for messages, and its bytes. */
export interface FileSource {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Far more than the rows that are allowed take, and within what one read can hold. */
const MOST_BYTES = 1.5e9;

/**
 * The bytes of a file, or those given.
 * @throws DaqError 'file-missing', 'file-unreadable', 'csv-too-long'
 */
export async function readSource(source: string | FileSource): Promise<FileSource> {
  if (typeof source !== 'string') return source;
  try {
    const status = await stat(source);
    // A pipe nobody writes to would wait for ever, a device might never end.
    if (!status.isFile() && !status.isDirectory())
      throw new DaqError('file-unreadable', {
        where: source,
        found: status.isFIFO() ? 'a pipe' : 'a device',
        wanted: 'a file that can be read',
      });
    const { size } = status;
    if (size > MOST_BYTES)
      throw new DaqError('csv-too-long', {
        where: source,
        found: `${(size / 1e9).toFixed(1)} GB`,
        wanted: `at most ${MOST_BYTES / 1e9} GB`,
      });
    return { name: source, bytes: await readFile(source) };
  } catch (error) {
    throw error instanceof DaqError ? error : unreadable(source, error as NodeJS.ErrnoException);
  }
}

function unreadable(where: string, error: NodeJS.ErrnoException): DaqError {
  const wanted = 'a file that can be read';
  if (error.code === 'ENOENT' || error.code === 'ENOTDIR')
    return new DaqError('file-missing', { where, found: 'no such file', wanted }, { cause: error });
  const found = error.code === 'EISDIR' ? 'a folder' : `a file that cannot be read (${error.code})`;
  return new DaqError('file-unreadable', { where, found, wanted }, { cause: error });
}
