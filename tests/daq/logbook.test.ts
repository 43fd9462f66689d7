import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DaqError } from '../../daq/daq-error.js';
import type { ImportedChannel, NewRecording, RawChannel, StoredChannel } from '../../daq/logbook/entities.js';
import { type LogbookOptions, openLogbook } from '../../daq/logbook/open-logbook.js';
import { isAlive, thisProcess } from '../../daq/logbook/recording-owner.js';
import { MIGRATIONS, SCHEMA_VERSION } from '../../daq/logbook/schema.js';

let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'logbook-'));
  path = join(folder, 'log.db');
});
afterEach(() => rmSync(folder, { recursive: true }));

const procedure = { name: 'unknown', steps: [], duration_s: null, happened: [], events: [] } as const;
const slope = (newton_per_count: number) => ({
  force: { newton_per_count, zero_counts: 0 },
  position: { metre_per_count: 1e-6, zero_counts: 0 },
});

function withBuild(options: LogbookOptions = {}) {
  const logbook = openLogbook(path, options);
  const shock = logbook.createShock({ name: 'left' });
  const build = logbook.createBuild({ shockId: shock.id, name: 'as bought' });
  const rigId = logbook.rigNamed('garage');
  const calibration = logbook.addCalibration(rigId, slope(0.001));
  const recording: NewRecording = {
    buildId: build.id,
    rigId,
    calibrationId: calibration.id,
    procedure,
    startedAt: '2026-01-02T03:04:05.000Z',
    identity: null,
    simulated: false,
  };
  return { logbook, shock, build, rigId, recording };
}

function refusal(run: () => unknown): DaqError {
  try {
    run();
  } catch (error) {
    expect(error).toBeInstanceOf(DaqError);
    return error as DaqError;
  }
  throw new Error('was not refused');
}

describe('opening a logbook', () => {
  it('makes it, with its folder, and finds it again', () => {
    path = join(folder, 'a/b/log.db');
    const { logbook, build } = withBuild();
    logbook.close();
    const again = openLogbook(path);
    expect(again.listBuilds()).toEqual([build]);
    again.close();
  });

  it('refuses one of a newer schema in words, and leaves it as it was', () => {
    withBuild().logbook.close();
    const newer = new Database(path);
    newer.pragma(`user_version = ${SCHEMA_VERSION + 1}`);
    newer.close();
    const before = readFileSync(path);
    for (const readOnly of [true, false]) {
      const error = refusal(() => openLogbook(path, { readOnly }));
      expect(error.code).toBe('logbook-newer');
      expect(error.message).toMatch(
        new RegExp(`found a logbook of schema ${SCHEMA_VERSION + 1}.*update the program`),
      );
    }
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it("refuses somebody else's database and any other file, and leaves them as they were", () => {
    const foreign = join(folder, 'foreign.db');
    const theirs = new Database(foreign);
    theirs.exec('CREATE TABLE shock (name TEXT)');
    theirs.close();
    const text = join(folder, 'notes.txt');
    writeFileSync(text, 'bleed 1.2, then 1.3\n'.repeat(100));
    for (const file of [foreign, text])
      for (const readOnly of [true, false]) {
        const before = readFileSync(file);
        expect(refusal(() => openLogbook(file, { readOnly })).code).toBe('logbook-foreign');
        expect(readFileSync(file).equals(before)).toBe(true);
      }
  });

  it('does not make one that is only to be read', () => {
    expect(refusal(() => openLogbook(path, { readOnly: true })).code).toBe('logbook-missing');
    expect(existsSync(path)).toBe(false);
  });

  it('says so when the place is a folder, or inside a file', () => {
    expect(refusal(() => openLogbook(folder)).message).toContain('found a folder; wanted a file');
    writeFileSync(join(folder, 'file'), '');
    expect(refusal(() => openLogbook(join(folder, 'file/log.db'))).code).toBe('logbook-unwritable');
  });

  it.runIf(process.platform === 'linux')('says so when the folder cannot be written', () => {
    // Nobody can make a file there, root neither.
    const error = refusal(() => openLogbook('/proc/dashpot-bench.db'));
    expect(error.code).toBe('logbook-unwritable');
    expect(error.message).toContain('/proc/dashpot-bench.db');
  });

  it('reads one in a folder where nothing may be written, though write-ahead logging wants a file beside it', () => {
    const { logbook, build } = withBuild();
    logbook.close();
    // A folder by the name of the index file keeps that from being made, as a read-only folder does.
    mkdirSync(`${path}-shm`);
    const reader = openLogbook(path, { readOnly: true });
    expect(reader.listBuilds()).toEqual([build]);
    reader.close();
  });

  it('gives two programs at once the same logbook, and both may write', () => {
    const { logbook, shock } = withBuild();
    const other = openLogbook(path);
    other.createBuild({ shockId: shock.id, name: 'theirs' });
    logbook.createBuild({ shockId: shock.id, name: 'ours' });
    expect(other.listBuilds().map(({ name }) => name)).toEqual(['as bought', 'theirs', 'ours']);
    other.close();
    logbook.close();
  });

  it('comes out the same byte for byte when time and owner are given', () => {
    const once = (file: string) => {
      path = join(folder, file);
      const options = { now: () => '2026-01-01T00:00:00.000Z', owner: 'a test' };
      const { logbook, recording } = withBuild(options);
      const id = logbook.startRecording(recording);
      logbook.appendBlocks(id, [raw('force', [1, 2], [3, 4])]);
      logbook.finishRecording(id, { state: 'complete' });
      logbook.close();
      return readFileSync(path);
    };
    expect(once('a.db').equals(once('b.db'))).toBe(true);
  });

  it('carries its version from the first migration on', () => {
    openLogbook(path).close();
    const file = new Database(path, { readonly: true });
    expect(file.pragma('user_version', { simple: true })).toBe(MIGRATIONS.length);
    expect(file.pragma('journal_mode', { simple: true })).toBe('wal');
    file.close();
  });
});

describe('builds', () => {
  it('form a lineage', () => {
    const { logbook, shock, build } = withBuild();
    const second = logbook.createBuild({
      shockId: shock.id,
      name: 'low drag',
      parentBuildId: build.id,
      change: 'seal swapped',
      properties: { seal: 'quad', oil_cSt: 350, vented: true },
    });
    const third = logbook.createBuild({ shockId: shock.id, name: 'drilled', parentBuildId: second.id });
    expect(third.lineage).toEqual(['as bought', 'low drag', 'drilled']);
    expect(logbook.findBuild('low drag')).toMatchObject({
      parentName: 'as bought',
      change: 'seal swapped',
      properties: { seal: 'quad', oil_cSt: 350, vented: true },
      shockName: 'left',
    });
    expect(logbook.findBuild('nothing')).toBeUndefined();
    logbook.close();
  });

  it('refuses names that are taken and parents that are not there or of another shock', () => {
    const { logbook, shock, build } = withBuild();
    const right = logbook.createShock({ name: 'right' });
    expect(refusal(() => logbook.createShock({ name: 'left' })).code).toBe('name-taken');
    expect(refusal(() => logbook.createBuild({ shockId: shock.id, name: 'as bought' })).code).toBe(
      'name-taken',
    );
    for (const parentBuildId of [build.id, 99 as typeof build.id])
      expect(refusal(() => logbook.createBuild({ shockId: right.id, name: 'x', parentBuildId })).code).toBe(
        'unknown-name',
      );
    expect(logbook.listBuilds()).toHaveLength(1);
    logbook.close();
  });
});

describe('recordings', () => {
  it('go from recording to complete once, and may then be discarded, which deletes nothing', () => {
    const { logbook, recording, build } = withBuild();
    const id = logbook.startRecording(recording);
    expect(logbook.findRecording(id)).toMatchObject({
      state: 'recording',
      remount: 1,
      buildName: 'as bought',
    });
    expect(refusal(() => logbook.discardRecording(id, 'x')).code).toBe('wrong-state');
    logbook.appendBlocks(id, [raw('force', [1, 2], [3, 4])]);
    logbook.finishRecording(id, { state: 'complete' });
    expect(refusal(() => logbook.finishRecording(id, { state: 'complete' })).code).toBe('wrong-state');
    expect(logbook.startRecording(recording)).not.toBe(id);
    expect(logbook.listRecordings({ buildId: build.id }).map(({ remount }) => remount)).toEqual([1, 2]);
    logbook.discardRecording(id, 'spring was on');
    expect(logbook.listRecordings().map(({ remount }) => remount)).toEqual([2]);
    expect(logbook.listRecordings({ withDiscarded: true })[0]).toMatchObject({
      state: 'discarded',
      stateReason: 'spring was on',
    });
    expect(logbook.readChannels(id)).toHaveLength(1);
    expect(logbook.listBuilds()[0]!.recordings).toBe(1);
    logbook.close();
  });

  it('give back every number in the order of their blocks', () => {
    const { logbook, recording } = withBuild();
    const id = logbook.startRecording(recording);
    logbook.appendBlocks(id, [
      raw('position', [2 ** 40, 2 ** 40 + 1], [-1, 2 ** 31 - 1]),
      raw('force', [], []),
    ]);
    logbook.appendBlocks(id, [raw('force', [5], [-(2 ** 31)]), raw('position', [3], [0])]);
    const stored: StoredChannel[] = [
      raw('force', [5], [-(2 ** 31)]),
      raw('position', [2 ** 40, 2 ** 40 + 1, 3], [-1, 2 ** 31 - 1, 0]),
    ];
    expect(logbook.readChannels(id)).toEqual(stored);
    logbook.close();
  });

  it('refuse to lose or change samples, even by hand', () => {
    const { logbook, recording } = withBuild();
    const id = logbook.startRecording(recording);
    logbook.appendBlocks(id, [raw('force', [1], [1])]);
    const uneven = { ...raw('force', [1], [1]), counts: new Int32Array(2) };
    expect(() => logbook.appendBlocks(id, [raw('position', [1], [1]), uneven])).toThrow(/CHECK/);
    expect(logbook.readChannels(id)).toHaveLength(1);
    logbook.close();
    const hand = new Database(path);
    expect(() => hand.exec('DELETE FROM block')).toThrow('samples are kept');
    expect(() => hand.exec('UPDATE block SET block_index = 9')).toThrow('samples stay');
    expect(() => hand.exec('DELETE FROM recording')).toThrow('recordings are kept');
    expect(() => hand.exec('UPDATE calibration SET force_zero_counts = 1')).toThrow(
      'calibrations get versions',
    );
    hand.close();
  });

  it('keep their calibration, and are read under a better one when asked', () => {
    const { logbook, recording, rigId } = withBuild();
    const id = logbook.startRecording(recording);
    logbook.appendBlocks(id, [raw('force', [1e6, 2e6], [1000, 2000])]);
    logbook.finishRecording(id, { state: 'complete' });
    const better = logbook.addCalibration(rigId, slope(0.002), 'new weights');
    expect(logbook.calibrationInForce(rigId)).toEqual(better);
    expect(better.version).toBe(2);
    expect([...logbook.readRecording(id).trace.force.force_N]).toEqual([1, 2]);
    expect([...logbook.readRecording(id, better.id).trace.force.force_N]).toEqual([2, 4]);
    logbook.close();
  });

  it('an older calibration from elsewhere does not take the place of a newer one', () => {
    const { logbook, rigId } = withBuild();
    logbook.addCalibration(rigId, slope(7), 'from a bundle', '2020-01-01T00:00:00.000Z');
    expect(logbook.calibrationInForce(rigId)!.calibration.force.newton_per_count).toBe(0.001);
    logbook.close();
  });

  it('imported ones keep their numbers as they were', () => {
    const { logbook, build } = withBuild();
    const channel: ImportedChannel = {
      kind: 'force',
      unit: 'N',
      times_s: Float64Array.of(0.1, 0.2 + 0.1),
      values: Float64Array.of(1 / 3, -0),
    };
    const id = logbook.importRecording({ buildId: build.id, procedure, startedAt: 'x', source: 'a.csv' }, [
      channel,
    ]);
    expect(logbook.readChannels(id)).toEqual([channel]);
    const { trace, recording } = logbook.readRecording(id);
    expect(trace.force).toEqual({ time_s: channel.times_s, force_N: channel.values });
    expect(recording).toMatchObject({ state: 'complete', source: 'a.csv', rigId: null });
    logbook.close();
  });

  it('say when they are not there', () => {
    const { logbook } = withBuild();
    expect(refusal(() => logbook.readRecording(9 as never)).message).toContain('found recording 9');
    logbook.close();
  });
});

describe('a recording whose program was killed', () => {
  it('has lost a second of device time at most, and is shown and entered as interrupted', async () => {
    const reported_ms = await recordAndKill(3000);
    const reader = openLogbook(path, { readOnly: true });
    const [recording] = reader.listRecordings();
    expect(recording).toMatchObject({
      state: 'interrupted',
      stateReason: 'the program that recorded it ended',
    });
    const { force, position } = reader.readRecording(recording!.id).trace;
    for (const { time_s } of [force, position]) expect(time_s.at(-1)).toBeGreaterThan(reported_ms / 1000 - 1);
    reader.close();

    const file = new Database(path);
    const states = () => file.prepare('SELECT state FROM recording_state ORDER BY id').pluck().all();
    expect(states()).toEqual(['recording']);
    openLogbook(path).close();
    openLogbook(path).close();
    expect(states()).toEqual(['recording', 'interrupted']);
    expect(file.pragma('integrity_check', { simple: true })).toBe('ok');
    file.close();
  });

  it('is told from one that is being recorded by another program', () => {
    const { logbook, recording } = withBuild();
    logbook.startRecording(recording);
    const other = openLogbook(path);
    expect(other.listRecordings()[0]!.state).toBe('recording');
    other.close();
    logbook.close();
  });

  it('is judged by process and start of process, since process numbers are used again', () => {
    expect(isAlive(thisProcess())).toBe(true);
    const [host, pid, start] = thisProcess().split(' ');
    expect(isAlive(`${host} ${pid} another-boot:123`)).toBe(false);
    expect(isAlive(`${host} 4194300 ${start}`)).toBe(false);
    expect(isAlive('elsewhere 1 -')).toBe(true);
  });
});

function raw(kind: RawChannel['kind'], times: number[], counts: number[]): RawChannel {
  return { kind, unit: 'counts', deviceTimes_us: Float64Array.from(times), counts: Int32Array.from(counts) };
}

/** @returns the device time that the child last told before it was killed, ms */
function recordAndKill(after_ms: number): Promise<number> {
  const script = fileURLToPath(new URL('recording-child.mjs', import.meta.url));
  const child = spawn(process.execPath, [script, path], { stdio: ['ignore', 'pipe', 'pipe'] });
  let told = '';
  let errors = '';
  const latest_ms = () => Number(told.slice(0, told.lastIndexOf('\n')).split('\n').at(-1));
  child.stderr.on('data', (chunk) => {
    errors += chunk;
  });
  child.stdout.on('data', (chunk) => {
    told += chunk;
    if (latest_ms() >= after_ms) child.kill('SIGKILL');
  });
  return new Promise((resolve, reject) =>
    child.on('close', (_code, signal) =>
      signal === 'SIGKILL' ? resolve(latest_ms()) : reject(new Error(`the child ended by itself: ${errors}`)),
    ),
  );
}
