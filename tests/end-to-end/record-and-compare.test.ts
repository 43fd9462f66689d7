import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, describe, expect, it } from 'vitest';
import { openLogbook } from '../../daq/index.js';
import { simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { analysisShape, comparisonShape } from '../dashboard/published-shapes.js';
import { cliPath, linesOf, spawnCli } from '../dashboard/run-cli.js';
import { playDevice } from './played-device.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-end-to-end-'));
const logbook = join(folder, 'logbook.sqlite');
const calibration = join(folder, 'calibration.json');
writeFileSync(calibration, JSON.stringify(simulatedRigCalibration));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SEED = 11;
const REMOUNTS = [1, 2, 3];
const LADDER = '0.311:4,0.829:2.5,1.433:2,2.213:1.5,3.019:1.5';

/** Records one mounting of a build through a device node; returns what the device really played. */
async function recordMounting(build: string, mounting: number) {
  const device = await playDevice(folder, { seed: SEED, build, mounting, speedUp: 6 });
  const args = ['record', '--port', device.path, '--build', build, '--shock', 'played', '--ladder', LADDER];
  const recorded = await spawnCli([...args, '--calibration', calibration, '--logbook', logbook, '--json']);
  await device.ended;
  return { recorded, truth: device.truth() };
}

describe('a rig behind a serial device node', () => {
  it('is recorded in two builds, and the difference in drag that comes out covers the one that was played', async () => {
    const played: Record<string, number[]> = { 'draggy-seal': [], 'low-drag-seal': [] };
    for (const build of Object.keys(played))
      for (const mounting of REMOUNTS) {
        const { recorded, truth } = await recordMounting(build, mounting);
        expect(recorded).toMatchObject({ status: 0 });
        const outcome = JSON.parse(recorded.stdout);
        expect(outcome).toMatchObject({
          build,
          remount: mounting,
          state: 'complete',
          statistics: { linesMissing: 0 },
        });
        expect(outcome.samples.force).toBeGreaterThan(11 * 300);
        played[build]!.push(truth.drag.mean_N);
      }

    const sides = ['--before', 'build:draggy-seal', '--after', 'build:low-drag-seal'];
    const compared = await spawnCli(['compare', ...sides, '--logbook', logbook, '--json']);
    expect(compared).toMatchObject({ status: 0, stderr: '' });
    const { differences } = comparisonShape.parse(JSON.parse(compared.stdout));
    const drag = differences.find(({ quantity }) => quantity === 'friction_N')!;
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const difference_N = mean(played['low-drag-seal']!) - mean(played['draggy-seal']!);
    expect(drag.verdict).toBe('lower');
    expect(drag.difference.low95).toBeLessThanOrEqual(difference_N);
    expect(drag.difference.high95).toBeGreaterThanOrEqual(difference_N);
    // An interval that covers everything would say nothing.
    expect(drag.difference.high95 - drag.difference.low95).toBeLessThan(Math.abs(difference_N));

    const analysed = await spawnCli(['analyze', 'build:draggy-seal', '--logbook', logbook, '--json']);
    const documents = linesOf(analysed.stdout).map((line) => analysisShape.parse(JSON.parse(line)));
    expect(documents).toHaveLength(REMOUNTS.length);
  }, 180_000);

  it('loses at most the last second when the program that records is killed', async () => {
    const device = await playDevice(folder, { seed: SEED, build: 'low-drag-seal', mounting: 9, speedUp: 1 });
    const args = [
      'record',
      '--port',
      device.path,
      '--build',
      'killed',
      '--shock',
      'played',
      '--logbook',
      logbook,
    ];
    const child = spawn(process.execPath, [cliPath, ...args, '--calibration', calibration], {
      stdio: 'ignore',
    });
    const died = new Promise((resolve) => child.on('close', resolve));
    await untilSampled(device, 3);
    child.kill('SIGKILL');
    const sent_us = device.lastSent_us();
    await died;
    await device.ended;
    // The drive was left running, as it must look from here; its lease stops it within a second.
    expect(device.leftAt_rev_per_s()).toBeGreaterThan(0);

    const book = openLogbook(logbook, { readOnly: true });
    const build = book.findBuild('killed')!;
    const [recording] = book.listRecordings({ buildId: build.id });
    const force = book.readChannels(recording!.id).find(({ kind }) => kind === 'force')!;
    book.close();
    if (!('deviceTimes_us' in force)) throw new Error('a recorded channel holds device times');
    expect(recording!.state).toBe('interrupted');
    expect(sent_us - force.deviceTimes_us.at(-1)!).toBeLessThanOrEqual(1_000_000);

    const { status, stdout } = await spawnCli([
      'analyze',
      `recording:${recording!.id}`,
      '--logbook',
      logbook,
      '--json',
    ]);
    expect({ status, document: JSON.parse(stdout) }).toMatchObject({
      document: { file: `recording:${recording!.id}` },
    });
  }, 60_000);

  it('ends the drive and keeps what was recorded when the person stops it', async () => {
    const device = await playDevice(folder, { seed: SEED, build: 'low-drag-seal', mounting: 10, speedUp: 1 });
    const args = [
      'record',
      '--port',
      device.path,
      '--build',
      'stopped',
      '--shock',
      'played',
      '--logbook',
      logbook,
    ];
    const child = spawn(process.execPath, [cliPath, ...args, '--calibration', calibration, '--json']);
    let stdout = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      stdout += text;
    });
    const ended = new Promise((resolve) => child.on('close', resolve));
    await untilSampled(device, 1);
    child.kill('SIGINT');
    expect(await ended).toBe(130);
    await device.ended;
    expect(device.leftAt_rev_per_s()).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({ state: 'interrupted', reason: 'stopped before its end' });
  }, 60_000);

  it('that never answers is given up with status 3 and one line, and nothing is written', async () => {
    const silent = join(folder, 'silent');
    const socat = spawn('socat', [`PTY,raw,echo=0,link=${silent}`, 'SYSTEM:sleep 60'], { stdio: 'ignore' });
    await pause(300);
    const other = join(folder, 'other.sqlite');
    const recorded = await spawnCli(['record', '--port', silent, '--build', 'none', '--logbook', other]);
    socat.kill();
    expect(recorded).toMatchObject({ status: 3, stdout: '' });
    expect(linesOf(recorded.stderr)).toHaveLength(1);
    expect(() => openLogbook(other, { readOnly: true })).toThrow(/no such file/);
  }, 60_000);
});

/** Waits until the device has sent so many seconds of samples. */
async function untilSampled(device: Awaited<ReturnType<typeof playDevice>>, seconds: number): Promise<void> {
  let first_us: number | null = null;
  for (;;) {
    await pause(20);
    try {
      const sent_us = device.lastSent_us();
      first_us ??= sent_us;
      if (sent_us - first_us >= seconds * 1e6) return;
    } catch {
      // Nothing was sent yet, or the note is being written.
    }
  }
}
