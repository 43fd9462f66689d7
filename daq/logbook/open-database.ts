import { existsSync, mkdirSync, readFileSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { DaqError } from '../daq-error.js';
import { APPLICATION_ID, MIGRATIONS, SCHEMA_VERSION } from './schema.js';

export type Connection = Database.Database;

const BUSY_TIMEOUT_MS = 5000;

/**
 * Opens a logbook's database, making or migrating it when it is to be written.
 * @param olderToo reads also what an older version of this program wrote, as a file of tables
 * @throws DaqError 'logbook-missing', 'logbook-foreign', 'logbook-newer', 'logbook-unwritable', 'logbook-busy',
 *   'logbook-damaged'; in every one of these cases the file is as it was
 */
export function openDatabase(path: string, readOnly: boolean, olderToo = false): Connection {
  if (readOnly && !existsSync(path))
    throw new DaqError('logbook-missing', { where: path, found: 'no such file', wanted: 'a logbook' });
  const connection = inWords(path, () => (readOnly ? connectToRead(path) : connectToWrite(path)));
  try {
    return inWords(path, () => {
      connection.pragma('foreign_keys = ON');
      refuseForeignOrNewer(connection, path, readOnly, olderToo);
      if (!readOnly) prepareToWrite(connection);
      return connection;
    });
  } catch (error) {
    connection.close();
    throw error;
  }
}

/** Runs `work` in a transaction (inside another one: a part of it), so that all it writes is kept or none. */
export function inOneGo<T>(connection: Connection, work: () => T): T {
  return connection.transaction(work)();
}

function connectToWrite(path: string): Connection {
  mkdirSync(dirname(path), { recursive: true });
  return new Database(path, { timeout: BUSY_TIMEOUT_MS });
}

function connectToRead(path: string): Connection {
  const connection = new Database(path, { readonly: true, timeout: BUSY_TIMEOUT_MS });
  try {
    connection.pragma('user_version');
    return connection;
  } catch (error) {
    connection.close();
    if (codeOf(error) !== 'SQLITE_CANTOPEN' || existsSync(`${path}-wal`)) throw error;
    return connectToCopy(path);
  }
}

/**
 * A WAL database needs an index file beside it even for reading, which a read-only folder refuses. Without a
 * log beside it the file is whole, so a copy in memory will do; bytes 18 and 19 of its header say WAL, which
 * memory cannot have (SQLite file format, section 1.3.3).
 */
function connectToCopy(path: string): Connection {
  const bytes = readFileSync(path);
  bytes.fill(1, 18, 20);
  return new Database(bytes, { readonly: true });
}

function refuseForeignOrNewer(
  connection: Connection,
  path: string,
  readOnly: boolean,
  olderToo: boolean,
): void {
  const version = connection.pragma('user_version', { simple: true }) as number;
  const application = connection.pragma('application_id', { simple: true });
  const tables = connection.prepare('SELECT count(*) FROM sqlite_schema').pluck().get();
  const isEmpty = tables === 0 && version === 0 && application === 0;
  if (application !== APPLICATION_ID && (readOnly || !isEmpty)) throw foreign(path);
  if (version > SCHEMA_VERSION)
    throw new DaqError('logbook-newer', {
      where: path,
      found: `a logbook of schema ${version}, written by a newer version of this program`,
      wanted: `schema ${SCHEMA_VERSION} or older; update the program, nothing was changed`,
    });
  if (readOnly && version < SCHEMA_VERSION && !olderToo)
    throw new DaqError('logbook-unwritable', {
      where: path,
      found: `a logbook of schema ${version}, opened for reading only`,
      wanted: `schema ${SCHEMA_VERSION}; open it once for writing to bring it up to date`,
    });
}

function prepareToWrite(connection: Connection): void {
  connection.pragma('journal_mode = WAL');
  connection.pragma('synchronous = FULL');
  const version = () => connection.pragma('user_version', { simple: true }) as number;
  if (version() === SCHEMA_VERSION) return;
  const migrate = connection.transaction(() => {
    // Asked again: another process may have migrated while this one waited for the lock.
    for (const step of MIGRATIONS.slice(version())) connection.exec(step);
    connection.pragma(`application_id = ${APPLICATION_ID}`);
    connection.pragma(`user_version = ${SCHEMA_VERSION}`);
  });
  migrate.exclusive();
}

/** Runs `run`; what SQLite or the system throws becomes a DaqError of this logbook. */
export function inWords<T>(path: string, run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (error instanceof DaqError) throw error;
    throw asDaqError(error, path);
  }
}

function asDaqError(error: unknown, path: string): unknown {
  const code = codeOf(error);
  if (code === 'SQLITE_NOTADB') return foreign(path);
  if (isDamage(error))
    return new DaqError(
      'logbook-damaged',
      {
        where: path,
        found: 'a logbook with damaged pages',
        wanted: 'a whole one; `restore` brings back a backup',
      },
      { cause: error },
    );
  if (code?.startsWith('SQLITE_BUSY'))
    return new DaqError('logbook-busy', {
      where: path,
      found: 'a logbook that another program has held for 5 s',
      wanted: 'one that can be written; close the other program',
    });
  if (
    code?.startsWith('SQLITE_') ||
    ['ENOENT', 'ENOTDIR', 'EACCES', 'EPERM', 'EROFS', 'EEXIST'].includes(code ?? '')
  )
    return new DaqError(
      'logbook-unwritable',
      {
        where: path,
        found: isFolder(path) ? 'a folder' : `a place where no logbook can be opened (${code})`,
        wanted: 'a file in a folder that can be written',
      },
      { cause: error },
    );
  return error;
}

/** SQLite found its file's structure broken. */
export function isDamage(error: unknown): boolean {
  return codeOf(error)?.startsWith('SQLITE_CORRUPT') ?? false;
}

function foreign(path: string): DaqError {
  return new DaqError('logbook-foreign', {
    where: path,
    found: 'some other kind of file',
    wanted: 'a logbook',
  });
}

function isFolder(path: string): boolean {
  return existsSync(path) && statSync(path).isDirectory();
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error ? (error as NodeJS.ErrnoException).code : undefined;
}
