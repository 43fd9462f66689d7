import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { exportLogbook } from '../../daq/bundle/export-logbook.js';
import { readBundle } from '../../daq/bundle/import-bundle.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { backupLogbook, restoreLogbook } from '../../daq/logbook/backup-logbook.js';
import { checkLogbook } from '../../daq/logbook/check-logbook.js';
import type { RecordingId } from '../../daq/logbook/entities.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { capture, defaultSpeedLadder } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { playUntil, readJournal } from './power-cut/play-journal.js';
import { scriptedRig } from './scripted-rig.js';

const KILLS = Number(process.env.ENDURANCE_KILLS ?? 20);
const CUTS = Number(process.env.ENDURANCE_CUTS ?? 60);

let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'durability-'));
  path = join(folder, 'log.db');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const here = (name: string) => fileURLToPath(new URL(name, import.meta.url));

/** Starts the endless recorder on a logbook; it tells the device time it has taken in, in ms, as it goes. */
function recorder(logbook: string, env: NodeJS.ProcessEnv = {}) {
  const child: ChildProcess = spawn(process.execPath, [here('recording-child.mjs'), logbook], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, ...env },
  });
  let told = '';
  let errors = '';
  child.stderr!.on('data', (chunk) => {
    errors += chunk;
  });
  const latest_ms = () => Number(told.slice(0, told.lastIndexOf('\n')).split('\n').at(-1));
  const killedAfter = (ms: number) =>
    new Promise<number>((resolve, reject) => {
      child.stdout!.on('data', (chunk) => {
        told += chunk;
        if (latest_ms() >= ms) child.kill('SIGKILL');
      });
      child.on('close', (_code, signal) =>
        signal === 'SIGKILL' ? resolve(latest_ms()) : reject(new Error(`it ended by itself: ${errors}`)),
      );
    });
  return { child, killedAfter };
}

/** Checks what the endless recorder left: every sample up to a second before `told_ms`, each as it was sent. */
function expectWhole(logbook: string, told_ms: number): void {
  const reader = openLogbook(logbook);
  try {
    const [recording] = reader.listRecordings({ withDiscarded: true });
    const channels = recording ? reader.readChannels(recording.id) : [];
    for (const [kind, step_ms] of [
      ['force', 12.5],
      ['position', 5],
    ] as const) {
      const channel = channels.find((each) => each.kind === kind);
      const times_us = channel && 'counts' in channel ? channel.deviceTimes_us : new Float64Array(0);
      for (const [i, time_us] of times_us.entries()) expect(time_us).toBe(1000 * step_ms * (i + 1));
      expect(times_us.length * step_ms).toBeGreaterThan(told_ms - 1000 - step_ms);
    }
  } finally {
    reader.close();
  }
  expect(checkLogbook(logbook).damages).toEqual([]);
}

describe('a recorder that is killed', () => {
  it(`at ${KILLS} random moments never loses anything older than a second of device time`, async () => {
    const random = xoroshiro128plus(20_261_125);
    for (let kill = 0; kill < KILLS; kill++) {
      const logbook = join(folder, `killed-${kill}.db`);
      expectWhole(logbook, await recorder(logbook).killedAfter(uniformInt(random, 100, 6000)));
      rmSync(logbook);
    }
  }, 600_000);
});

describe.skipIf(process.platform !== 'linux')('a power cut', () => {
  it(`at ${CUTS} moments, with what was not synchronised lost or torn, leaves all but the last second`, async () => {
    const shim = join(folder, 'journal.so');
    execFileSync('cc', ['-shared', '-fPIC', '-O1', '-o', shim, here('power-cut/journal.c'), '-ldl']);
    const journal = join(folder, 'journal');
    mkdirSync(join(folder, 'disk'));
    const env = { LD_PRELOAD: shim, JOURNAL: journal, JOURNAL_OF: join(folder, 'disk') };
    await recorder(join(folder, 'disk', 'log.db'), env).killedAfter(8000);
    const notes = readJournal(journal);
    expect(notes.filter(({ kind }) => kind === 'synchronise').length).toBeGreaterThan(12);

    const random = xoroshiro128plus(7);
    const firstTold = notes.findIndex(({ kind }) => kind === 'told');
    const parts = ['whole', 'half', 'none'] as const;
    const cutAfter = (kept: typeof notes, count: number, keep: () => (typeof parts)[number]) => {
      const told = kept.slice(0, count).findLast((note) => note.kind === 'told');
      const after = mkdtempSync(join(folder, 'cut-'));
      playUntil(kept, count, keep, after);
      expectWhole(join(after, 'log.db'), told?.kind === 'told' ? Number(told.text) : 0);
      rmSync(after, { recursive: true });
    };
    for (let cut = 0; cut < CUTS; cut++)
      cutAfter(notes, uniformInt(random, firstTold, notes.length), () =>
        cut % 3 === 0 ? 'none' : parts[uniformInt(random, 0, 2)]!,
      );
    // A recorder that did not synchronise would be found out.
    const careless = notes.filter((note, i) => i < firstTold || note.kind !== 'synchronise');
    expect(() => cutAfter(careless, careless.length, () => 'none')).toThrow();
  }, 600_000);
});

const identity = { newton_per_count: 1, zero_counts: 0 };

function withRecordings(count: number): Logbook {
  const logbook = openLogbook(path);
  const shock = logbook.createShock({ name: 'shock' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'build' });
  const rigId = logbook.rigNamed('rig');
  const { id: calibrationId } = logbook.addCalibration(rigId, {
    force: identity,
    position: { metre_per_count: 1, zero_counts: 0 },
  });
  for (let n = 0; n < count; n++) {
    const id = logbook.startRecording({
      buildId,
      rigId,
      calibrationId,
      procedure: { ...capture('unknown', null), happened: [], events: [] },
      startedAt: `2026-01-02T03:04:0${n}.000Z`,
      identity: null,
      simulated: false,
    });
    const counts = Int32Array.from({ length: 4000 }, (_, i) => 10_000 * n + i);
    const deviceTimes_us = Float64Array.from(counts, (_, i) => 2500 * i);
    logbook.appendBlocks(id, [{ kind: 'force', unit: 'counts', deviceTimes_us, counts }]);
    logbook.finishRecording(id, { state: 'complete' });
  }
  return logbook;
}

/** Turns over one byte in the samples of a recording, wherever they lie in the file. */
function damage(n: number): void {
  const wanted = Buffer.from(Int32Array.from({ length: 64 }, (_, i) => 10_000 * n + 2000 + i).buffer);
  const file = readFileSync(path);
  const at = file.indexOf(wanted);
  expect(at).toBeGreaterThan(0);
  file[at + 17]! ^= 0x40;
  writeFileSync(path, file);
}

describe('a damaged logbook', () => {
  it('is noticed when its samples are read, byte by byte, and the rest is still there', async () => {
    withRecordings(3).close();
    damage(1);
    const logbook = openLogbook(path, { readOnly: true });
    const read = (id: number) => logbook.readRecording(id as RecordingId);
    expect(() => read(2)).toThrow(/recording 2: found a force block \(0\) with a wrong checksum/);
    expect(read(1).trace.force.time_s).toHaveLength(4000);
    expect(read(3).trace.force.time_s).toHaveLength(4000);
    expect(checkLogbook(path).damages).toMatchObject([{ recordingId: 2 }]);

    const exported = await exportLogbook(logbook, join(folder, 'saved'));
    expect(exported.map(({ folder }) => folder)).toEqual(['recording-1', null, 'recording-3']);
    const { channels } = await readBundle(join(folder, 'saved', 'recording-3'));
    expect(channels).toEqual(logbook.readChannels(3 as RecordingId));
    const index = JSON.parse(readFileSync(join(folder, 'saved', 'logbook.json'), 'utf8'));
    expect(index.recordings[1]).toMatchObject({ id: 2, folder: null });
    expect(index.recordings[1].reason).toMatch(/wrong checksum/);
    logbook.close();
    await expect(backupLogbook(path, join(folder, 'copy.db'))).rejects.toMatchObject({
      code: 'logbook-damaged',
    });
    expect(existsSync(join(folder, 'copy.db'))).toBe(false);
  });

  it('is noticed when a whole page is overwritten', () => {
    withRecordings(3).close();
    const file = readFileSync(path);
    file.fill(0xa5, 4096 * 20, 4096 * 21);
    writeFileSync(path, file);
    expect(checkLogbook(path).damages.length).toBeGreaterThan(0);
  });

  it('is told from some other file when its structure is broken', () => {
    withRecordings(1).close();
    const file = readFileSync(path);
    file.fill(0xff, 4096, 8192);
    writeFileSync(path, file);
    expect(() => checkLogbook(path)).toThrow(/damaged|malformed/);
  });
});

describe('a disk that fills up', () => {
  it('ends a recording in words, its drive halted, with what was captured before', async () => {
    const logbook = openLogbook(path, { most_bytes: 200_000 });
    const shock = logbook.createShock({ name: 'shock' });
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'build' });
    logbook.addCalibration(logbook.rigNamed('scripted'), {
      force: identity,
      position: { metre_per_count: 1, zero_counts: 0 },
    });
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    const procedure = { ...defaultSpeedLadder, steps: [{ speed_rev_per_s: 0.4, duration_s: 600 }] };
    const failure = await recordBuild({ link, logbook, buildId, procedure }).then(
      (outcome) => outcome.failure,
      (error) => error,
    );
    expect(failure).toMatchObject({ code: 'logbook-unwritable' });
    expect(rig.speed_mHz()).toBe(0);
    expect(rig.isSampling()).toBe(false);
    await link.close();
    logbook.close();
    const reader = openLogbook(path, { readOnly: true });
    const [recording] = reader.listRecordings();
    expect(reader.readRecording(recording!.id).trace.force.time_s.length).toBeGreaterThan(500);
    reader.close();
    expect(checkLogbook(path).damages).toEqual([]);
  });
});

describe('a backup', () => {
  it('made while something is recorded holds all up to that moment, and is restored', async () => {
    const live = recorder(path);
    const killed = live.killedAfter(9000);
    let looks = 0;
    while (!existsSync(path) || ++looks < 20) await new Promise((resolve) => setTimeout(resolve, 20));
    const copies = [1, 2, 3].map((n) => join(folder, `copy-${n}.db`));
    for (const copy of copies) expect(await backupLogbook(path, copy)).toMatchObject({ damages: [] });
    await killed;
    const lengths = copies.map((copy) => {
      const book = openLogbook(copy, { readOnly: true });
      const [recording] = book.listRecordings();
      const length = recording
        ? book.readChannels(recording.id)[0]?.kind &&
          book.readRecording(recording.id).trace.force.time_s.length
        : 0;
      book.close();
      expect(existsSync(`${copy}-wal`)).toBe(false);
      return length ?? 0;
    });
    expect(lengths).toEqual(lengths.toSorted((a, b) => a - b));

    const former = restoreLogbook(copies[0]!, path, new Date(0));
    expect(former).toBe(`${path}.before-1970-01-01T00-00-00-000Z`);
    expectWhole(former!, 8000);
    expect(checkLogbook(path).damages).toEqual([]);
  }, 120_000);

  it('overwrites nothing, and is not put in the place of a logbook that is in use', async () => {
    const logbook = withRecordings(2);
    const copy = join(folder, 'copy.db');
    await backupLogbook(path, copy);
    await expect(backupLogbook(path, copy)).rejects.toMatchObject({ code: 'file-exists' });
    expect(() => restoreLogbook(copy, path, new Date(0))).toThrow(/logbook that another program has held/);
    expect(logbook.listRecordings()).toHaveLength(2);
    logbook.close();
    const elsewhere = join(folder, 'new', 'place.db');
    expect(restoreLogbook(copy, elsewhere, new Date(0))).toBeNull();
    const restored = openLogbook(elsewhere, { readOnly: true });
    expect(restored.readRecording(2 as RecordingId).trace.force.force_N[7]).toBe(10_007);
    restored.close();
  });

  it('of an older version of this program is brought up to date, a damaged or foreign one refused', async () => {
    withRecordings(1).close();
    const copy = join(folder, 'copy.db');
    await backupLogbook(path, copy);
    copyFileSync(path, join(folder, 'damaged.db'));
    damage(0);
    const place = join(folder, 'place.db');
    expect(() => restoreLogbook(path, place, new Date(0))).toThrow(/wrong checksum/);
    writeFileSync(join(folder, 'foreign.db'), 'not a logbook, though long enough to look at '.repeat(40));
    expect(() => restoreLogbook(join(folder, 'foreign.db'), place, new Date(0))).toThrow(
      /some other kind of file/,
    );
    expect(existsSync(place)).toBe(false);
    const newer = new Database(copy);
    newer.pragma('user_version = 999');
    newer.close();
    expect(() => restoreLogbook(copy, place, new Date(0))).toThrow(/schema 999/);
    expect(existsSync(place)).toBe(false);
  });
});

describe('a logbook that another program holds', () => {
  it('is told so in words after five seconds, and is as it was', () => {
    withRecordings(1).close();
    const other = new Database(path);
    other.exec('BEGIN IMMEDIATE');
    const logbook = openLogbook(path, { readOnly: true });
    expect(logbook.listRecordings()).toHaveLength(1);
    logbook.close();
    const writer = openLogbook(path);
    expect(() => writer.createShock({ name: 'another' })).toThrow(/locked|busy/);
    writer.close();
    other.exec('ROLLBACK');
    other.close();
  });
});
