import { existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { DaqError } from '../daq-error.js';
import { unwritable } from '../files/unwritable.js';
import { checkLogbook, type LogbookCheck } from './check-logbook.js';
import { inWords, openDatabase } from './open-database.js';
import { openLogbook } from './open-logbook.js';

/** Pages in one step: all of them, so that a recording that goes on beside it cannot make the copy begin anew. */
const ALL_PAGES = 2 ** 31 - 1;

/**
 * Copies a logbook as it is at this moment, also while something is recorded into it, and reads the copy through.
 * @param to the copy; nothing is overwritten, and nothing is left there when it fails
 * @throws DaqError 'logbook-…' of the logbook, 'logbook-damaged' when it is, 'file-exists', 'file-unwritable'
 */
export async function backupLogbook(path: string, to: string): Promise<LogbookCheck> {
  if (existsSync(to)) throw taken(to);
  const unfinished = `${to}.unfinished`;
  const source = openDatabase(path, true);
  try {
    mkdirSync(dirname(to), { recursive: true });
    remove(unfinished);
    await source.backup(unfinished, { progress: () => ALL_PAGES });
    settle(unfinished);
    const check = checkLogbook(unfinished);
    const [damage] = check.damages;
    if (damage) throw damaged(path, damage.found);
    if (existsSync(to)) throw taken(to);
    renameSync(unfinished, to);
    return check;
  } catch (error) {
    throw unwritable(to, error);
  } finally {
    source.close();
    remove(unfinished);
  }
}

/**
 * Puts a backup in the place of a logbook. What was there is moved aside, not deleted.
 * @param path the logbook's place; may be empty
 * @returns where the former logbook is now, null where there was none
 * @throws DaqError 'logbook-damaged' for a backup that is, 'logbook-busy' while another program has the logbook open,
 *   'logbook-…' of opening the backup, 'file-unwritable'
 */
export function restoreLogbook(backup: string, path: string, now: Date): string | null {
  const unfinished = `${path}.unfinished`;
  const aside = `${path}.before-${now.toISOString().replace(/[:.]/g, '-')}`;
  try {
    mkdirSync(dirname(path), { recursive: true });
    remove(unfinished);
    const source = openDatabase(backup, true, true);
    try {
      inWords(backup, () => source.prepare('VACUUM INTO ?').run(unfinished));
    } finally {
      source.close();
    }
    // Brings an older one up to date.
    openLogbook(unfinished).close();
    const [damage] = checkLogbook(unfinished).damages;
    if (damage) throw damaged(backup, damage.found);
    settle(unfinished);
    const hadOne = existsSync(path);
    if (hadOne) {
      requireAlone(path);
      for (const rest of ['', '-wal', '-shm'])
        if (existsSync(path + rest)) renameSync(path + rest, aside + rest);
    }
    renameSync(unfinished, path);
    return hadOne ? aside : null;
  } catch (error) {
    throw unwritable(path, error);
  } finally {
    remove(unfinished);
  }
}

function remove(path: string): void {
  for (const rest of ['', '-wal', '-shm']) rmSync(path + rest, { force: true });
}

/** A copy is one file: no log beside it that could be forgotten. */
function settle(path: string): void {
  const copy = new Database(path);
  try {
    copy.pragma('journal_mode = DELETE');
  } finally {
    copy.close();
  }
}

/** @throws DaqError 'logbook-busy' when another connection to it is open; a damaged file is let pass */
function requireAlone(path: string): void {
  const connection = new Database(path, { timeout: 0 });
  try {
    inWords(path, () => {
      connection.pragma('locking_mode = EXCLUSIVE');
      connection.exec('BEGIN EXCLUSIVE; COMMIT');
    });
  } catch (error) {
    if (error instanceof DaqError && error.code === 'logbook-busy') throw error;
  } finally {
    connection.close();
  }
}

function taken(where: string): DaqError {
  return new DaqError('file-exists', { where, found: 'something by that name', wanted: 'a new name' });
}

function damaged(where: string, found: string): DaqError {
  return new DaqError('logbook-damaged', {
    where,
    found,
    wanted: 'a whole logbook; `export --all` saves what can still be read of a damaged one',
  });
}
