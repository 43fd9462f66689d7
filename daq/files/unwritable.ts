import { DaqError } from '../daq-error.js';

/** Says in words why a file or folder could not be written; errors that say so already stay as they are. */
export function unwritable(where: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException | null)?.code;
  if (error instanceof DaqError || code === undefined) return error;
  if (code === 'EEXIST' || code === 'ENOTEMPTY')
    return new DaqError('file-exists', { where, found: 'something by that name', wanted: 'a new name' });
  return new DaqError(
    'file-unwritable',
    { where, found: `a place that cannot be written (${code})`, wanted: 'one that can' },
    { cause: error },
  );
}
