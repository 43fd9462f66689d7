import { constants, existsSync } from 'node:fs';
import { access, mkdtemp, rm, statfs } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import type { LogbookCheck } from '../../daq/index.js';
import { count } from '../wording/index.js';

/** One thing that was looked at. */
export interface DoctorCheck {
  readonly name: string;
  /** *attention*: something will not work, but the program does. *bad*: it does not. */
  readonly state: 'good' | 'attention' | 'bad';
  readonly found: string;
  /** What to do about it; empty where there is nothing to do. */
  readonly todo: string;
}

type Daq = typeof import('../../daq/index.js');
type Looked = Omit<DoctorCheck, 'name'>;

const good = (found: string): Looked => ({ state: 'good', found, todo: '' });
const attention = (found: string, todo: string): Looked => ({ state: 'attention', found, todo });
const bad = (found: string, todo: string): Looked => ({ state: 'bad', found, todo });
const wordsOf = (error: unknown) => (error instanceof Error ? error.message : String(error)).split('\n')[0]!;

/** An hour of a common rig takes 31 MB: 720 samples/s of 12 bytes. */
const SCARCE_BYTES = 200e6;
const NO_BYTES = 20e6;

/**
 * Looks at all that this program needs, opening no port: opening one would reset the board behind it.
 * @param logbook where the logbook is, or will be
 */
export async function doctorChecks(logbook: string): Promise<DoctorCheck[]> {
  const checks: [name: string, look: () => Promise<Looked>][] = [
    ['Node', async () => good(`${process.version} on ${process.platform} ${process.arch}`)],
    ['Logbook module', logbookModule],
    ['Serial module', serialModule],
    ['Ports', ports],
    ['Browser', browser],
    ['This machine', loopback],
    ['Disk', () => disk(logbook)],
    ['Logbook', () => logbookItself(logbook)],
  ];
  const looked: DoctorCheck[] = [];
  for (const [name, look] of checks)
    looked.push({ name, ...(await look().catch((error) => bad(wordsOf(error), 'send this with --bundle'))) });
  return looked;
}

const loadDaq = (): Promise<Daq> => import('../../daq/index.js');

/** Writes a logbook in a temporary folder and reads it back. */
async function logbookModule(): Promise<Looked> {
  const folder = await mkdtemp(join(tmpdir(), 'dashpot-bench-doctor-'));
  try {
    const { openLogbook } = await loadDaq();
    const logbook = openLogbook(join(folder, 'trial.sqlite'));
    logbook.createShock({ name: 'trial' });
    const shocks = logbook.listShocks().length;
    logbook.close();
    return shocks === 1
      ? good('writes and reads')
      : bad('writes, but does not read back', 'npm rebuild better-sqlite3');
  } catch (error) {
    return bad(`does not work: ${wordsOf(error)}`, 'npm rebuild better-sqlite3, with this version of Node');
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function serialModule(): Promise<Looked> {
  try {
    const { SerialPort } = await import('serialport');
    return typeof SerialPort.list === 'function' ? good('loads') : bad('does not load', 'npm ci');
  } catch (error) {
    return bad(`does not load: ${wordsOf(error)}`, 'npm rebuild @serialport/bindings-cpp');
  }
}

async function ports(): Promise<Looked> {
  const { listPorts, portAccess } = await loadDaq();
  const found = await listPorts();
  if (found.length === 0)
    return attention('no serial port', 'plug the rig in with a cable that carries data, and look again');
  for (const { path } of found) {
    const refusal = await portAccess(path);
    if (refusal) return bad(`${path}: ${refusal.detail.found}`, refusal.detail.wanted);
  }
  return good(
    `${found.map(({ path }) => path).join(', ')}: this user may open ${found.length === 1 ? 'it' : 'them'}`,
  );
}

async function browser(): Promise<Looked> {
  const todo = 'open the address that `start` prints in a browser yourself';
  if (process.platform !== 'linux') return good("the system's own opens the page");
  if (!process.env.DISPLAY && !process.env.WAYLAND_DISPLAY)
    return attention('no screen to open one on', todo);
  const folders = (process.env.PATH ?? '').split(delimiter);
  const opener = folders.some((folder) => existsSync(join(folder, 'xdg-open')));
  return opener || process.env.BROWSER ? good('xdg-open opens the page') : attention('no xdg-open', todo);
}

/** The dashboard listens on loopback alone. */
function loopback(): Promise<Looked> {
  return new Promise((resolve) => {
    const server = createServer();
    server.on('error', (error) =>
      resolve(
        bad(`127.0.0.1 cannot be listened on: ${wordsOf(error)}`, 'look at the firewall, or the container'),
      ),
    );
    server.listen(0, '127.0.0.1', () => server.close(() => resolve(good('127.0.0.1 can be listened on'))));
  });
}

async function disk(logbook: string): Promise<Looked> {
  let folder = dirname(logbook);
  while (!existsSync(folder) && dirname(folder) !== folder) folder = dirname(folder);
  const { bavail, bsize } = await statfs(folder);
  const free_bytes = bavail * bsize;
  const words = `${free_bytes > 1e9 ? `${(free_bytes / 1e9).toFixed(0)} GB` : `${(free_bytes / 1e6).toFixed(0)} MB`} free for the logbook`;
  const isWritable = await access(folder, constants.W_OK).then(
    () => true,
    () => false,
  );
  if (!isWritable)
    return bad('a folder that this user may not write to', '--logbook PATH in one that can be written');
  if (free_bytes < NO_BYTES) return bad(words, 'make room before recording');
  return free_bytes < SCARCE_BYTES ? attention(words, 'make room: an hour takes about 31 MB') : good(words);
}

async function logbookItself(path: string): Promise<Looked> {
  if (!existsSync(path)) return good('none yet; the first recording makes it');
  const { checkLogbook, DaqError } = await loadDaq();
  let check: LogbookCheck;
  try {
    check = checkLogbook(path);
  } catch (error) {
    if (!(error instanceof DaqError)) throw error;
    return bad(error.detail.found, error.detail.wanted);
  }
  const { recordings, damages } = check;
  if (damages.length === 0) return good(`${count(recordings, 'recording')}, read through and whole`);
  const where = damages.map(({ recordingId, found }) =>
    recordingId ? `recording:${recordingId}: ${found}` : found,
  );
  return bad(
    `damaged (${where.slice(0, 3).join('; ')})`,
    '`restore` a backup; `export --all --to FOLDER` saves what can still be read',
  );
}
