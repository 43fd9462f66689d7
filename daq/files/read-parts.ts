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
  const [{ inShape }, { shelfPartShapes }] = await Promise.all([
    import('./json-file.js'),
    import('./shelf-file.js'),
  ]);
  return inShape(kind, said, shelfPartShapes[kind]) as ShelfParts[Kind];
}
