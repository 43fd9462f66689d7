import { existsSync } from 'node:fs';
import type { Oil } from '../../analysis/index.js';
import { openLogbook, readShelf, type Shelf } from '../../daq/index.js';
import { oilsOf } from '../answers/index.js';
import { badInput } from './failure.js';

export interface ReadShelf {
  readonly parts: Shelf;
  readonly oils: readonly Oil[];
}

const empty: Shelf = { oils: [], pistons: [], drills_mm: [], seals: [], springs: [] };

/**
 * The shelf of a file, or the logbook's; an absent logbook is an empty shelf and is not made.
 * @throws CommandFailure where an oil of it makes no sense
 */
export async function shelfFrom(file: string | undefined, logbookPath: string): Promise<ReadShelf> {
  const parts = file === undefined ? shelfOfLogbook(logbookPath) : await readShelf(file);
  const made = oilsOf(parts.oils);
  if (!made.ok) throw badInput(made.refusal.found, made.refusal.wanted, file ?? logbookPath);
  return { parts, oils: made.oils };
}

function shelfOfLogbook(path: string): Shelf {
  if (!existsSync(path)) return empty;
  const logbook = openLogbook(path, { readOnly: true });
  try {
    return logbook.readShelf();
  } finally {
    logbook.close();
  }
}
