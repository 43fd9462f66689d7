import { DaqError } from '../daq-error.js';
import type { ShelfKind, ShelfParts } from '../logbook/shelf.js';
import type { Piston } from './piston-file.js';
import type { FileSource } from './read-source.js';
import type { Shelf } from './shelf-file.js';

/** @throws DaqError 'file-…', 'json-invalid' naming the place in the file, what was found there and what was wanted */
export async function readPiston(source: string | FileSource): Promise<Piston> {
  const [{ readJson }, { pistonShape }] = await Promise.all([
    import('./json-file.js'),
    import('./piston-file.js'),
  ]);
  return readJson(source, pistonShape);
}

/** @throws DaqError 'file-…', 'json-invalid' naming the place in the file, what was found there and what was wanted */
export async function readShelf(source: string | FileSource): Promise<Shelf> {
  const [{ readJson }, { shelfShape }] = await Promise.all([
    import('./json-file.js'),
    import('./shelf-file.js'),
  ]);
  return readJson(source, shelfShape);
}

/**
 * One item for the shelf, held to what a shelf file may say of its kind.
 * @throws DaqError 'json-invalid' naming the key, what was found there and what was wanted
 */
export async function shelfPart<Kind extends ShelfKind>(
  kind: Kind,
  said: unknown,
): Promise<ShelfParts[Kind]> {
  const { shelfPartShapes } = await import('./shelf-file.js');
  const result = shelfPartShapes[kind].safeParse(said);
  if (result.success) return result.data as ShelfParts[Kind];
  const [issue] = result.error.issues;
  const key = issue!.path.join('.');
  const found = (said as Record<string, unknown> | null)?.[key];
  throw new DaqError('json-invalid', {
    where: kind,
    ...(key && { key }),
    found: found === undefined ? 'nothing' : JSON.stringify(found).slice(0, 60),
    wanted: issue!.message,
  });
}
