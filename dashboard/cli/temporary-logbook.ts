import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A place for a logbook that nobody will miss. */
export function temporaryLogbook(): { readonly path: string; remove(): void } {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-'));
  return {
    path: join(folder, 'demo.sqlite'),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
