import { readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';

type Change = Extract<Note, { kind: 'write' | 'truncate' }>;

/** One thing that journal.c saw. */
export type Note =
  | { readonly kind: 'write'; readonly path: string; readonly offset: number; readonly bytes: Buffer }
  | { readonly kind: 'truncate'; readonly path: string; readonly length: number }
  | { readonly kind: 'synchronise'; readonly path: string }
  | { readonly kind: 'remove'; readonly path: string }
  /** What the program told the world. */
  | { readonly kind: 'told'; readonly text: string };

export function readJournal(path: string): Note[] {
  const all = readFileSync(path);
  const notes: Note[] = [];
  let at = 0;
  while (at < all.length) {
    const kind = String.fromCharCode(all[at]!);
    const pathEnd = at + 5 + all.readUInt32LE(at + 1);
    const file = all.toString('utf8', at + 5, pathEnd);
    const offset = Number(all.readBigInt64LE(pathEnd));
    const length = Number(all.readBigInt64LE(pathEnd + 8));
    at = pathEnd + 16;
    if (kind === 't') notes.push({ kind: 'truncate', path: file, length });
    else if (kind === 's') notes.push({ kind: 'synchronise', path: file });
    else if (kind === 'u') notes.push({ kind: 'remove', path: file });
    else {
      const bytes = all.subarray(at, at + length);
      at += length;
      if (kind === 'm') notes.push({ kind: 'told', text: bytes.toString('latin1') });
      else notes.push({ kind: 'write', path: file, offset, bytes });
    }
  }
  return notes;
}

/**
 * What is on the disk after the power went when so many notes had been made.
 * @param keep whether a change that was not synchronised reached the disk; whole, or its first half, or not at all
 * @param folder gets the files
 */
export function playUntil(
  notes: readonly Note[],
  count: number,
  keep: () => 'whole' | 'half' | 'none',
  folder: string,
): void {
  const files = new Map<string, { durable: Buffer; pending: Change[] }>();
  const fileOf = (path: string) => {
    const file = files.get(path) ?? { durable: Buffer.alloc(0), pending: [] };
    files.set(path, file);
    return file;
  };
  for (const note of notes.slice(0, count)) {
    if (note.kind === 'told') continue;
    if (note.kind === 'remove') {
      files.delete(note.path);
      continue;
    }
    const file = fileOf(note.path);
    if (note.kind !== 'synchronise') file.pending.push(note);
    else {
      for (const change of file.pending) file.durable = changed(file.durable, change, 'whole');
      file.pending = [];
    }
  }
  for (const [path, { durable, pending }] of files) {
    let left = durable;
    for (const change of pending) left = changed(left, change, keep());
    // The index of the log lives in memory and does not survive; SQLite makes it anew.
    if (!path.endsWith('-shm') && left.length > 0) writeFileSync(join(folder, basename(path)), left);
  }
}

function changed(file: Buffer, change: Change, part: 'whole' | 'half' | 'none'): Buffer {
  if (part === 'none') return file;
  if (change.kind === 'truncate') {
    const cut = Buffer.alloc(change.length);
    file.copy(cut);
    return cut;
  }
  const bytes = part === 'half' ? change.bytes.subarray(0, change.bytes.length >> 1) : change.bytes;
  const next = Buffer.alloc(Math.max(file.length, change.offset + bytes.length));
  file.copy(next);
  bytes.copy(next, change.offset);
  return next;
}
