import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { speedLadder } from '../../daq/procedures.js';
import { type RecordBuildOptions, recordBuild } from '../../daq/recording/record-build.js';
import { exactRig, simulatedRig, simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { type ScriptedRigOptions, scriptedRig } from './scripted-rig.js';

let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'safety-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

const ladder = speedLadder([{ speed_rev_per_s: 0.4, duration_s: 6 }]);
const limits = { force_N: null, stroke_m: null, speed_rev_per_s: null };

/** Runs the drive of a scripted rig, whose firmware watches nothing, and tells how that ended. */
async function run(rigOptions: ScriptedRigOptions, options: Partial<RecordBuildOptions> = {}) {
  const rig = scriptedRig(rigOptions);
  const link = await openRigLink(rig);
  logbook.addCalibration(logbook.rigNamed('scripted'), {
    force: { newton_per_count: 0.001, zero_counts: 0 },
    position: { metre_per_count: 1e-6, zero_counts: 5000 },
  });
  const shock = logbook.createShock({ name: 'test piece' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'as found' });
  const outcome = await recordBuild({ link, logbook, buildId, procedure: ladder, ...options });
  const { stateReason } = logbook.findRecording(outcome.recordingId)!;
  await link.close();
  return { rig, outcome, stateReason };
}

describe('the drive as its holder sees it', () => {
  it('is halted within a heartbeat once nobody holds it any more, and the recording says so', async () => {
    const rig: { now_ms(): number } = { now_ms: () => 0 };
    let lastHeld_ms = 0;
    let halted_ms = 0;
    const options: ScriptedRigOptions = {
      ignores: (command, times) => {
        if (command.type === 'halt' && times > 2) halted_ms ||= rig.now_ms();
        return false;
      },
    };
    const scripted = scriptedRig(options);
    rig.now_ms = scripted.now_ms;
    const link = await openRigLink(scripted);
    await link.setDriveSpeed(0.4, () => {
      const isHeld = scripted.now_ms() < 3000;
      if (isHeld) lastHeld_ms = scripted.now_ms();
      return isHeld;
    });
    while (scripted.now_ms() < 5000) await new Promise((resolve) => setImmediate(resolve));
    expect(scripted.speed_mHz()).toBe(0);
    expect(link.isDriving()).toBe(false);
    expect(lastHeld_ms).toBeGreaterThan(2700);
    expect(halted_ms - 3000).toBeLessThanOrEqual(255);
    await link.close();

    let looks = 0;
    const { outcome, stateReason, rig: other } = await run({}, { isDriveHeld: () => ++looks < 6 });
    expect(outcome).toMatchObject({ state: 'interrupted', failure: { code: 'drive-abandoned' } });
    expect(stateReason).toMatch(/nobody holding the drive/);
    expect(other.speed_mHz()).toBe(0);
    expect(outcome.samples.force).toBeGreaterThan(50);
  });

  it('does not start for someone who has left already', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    await expect(link.setDriveSpeed(1, () => false)).rejects.toMatchObject({ code: 'drive-abandoned' });
    expect(rig.heard.some(({ type }) => type === 'drive')).toBe(false);
    await link.close();
  });

  it('is not asked to turn again once it was told to halt, though no answer came', async () => {
    const rig = scriptedRig({ ignores: ({ type }, times) => type === 'drive' && times === 1 });
    const link = await openRigLink(rig);
    const starting = link.setDriveSpeed(0.4);
    while (!rig.heard.some(({ type }) => type === 'drive')) await new Promise((next) => setImmediate(next));
    await Promise.all([link.haltDrive(), starting]);
    expect(rig.heard.filter(({ type }) => type === 'drive')).toHaveLength(1);
    expect(link.isDriving()).toBe(false);
    await link.close();
  });

  it('starts softly: twice as fast each quarter of a second, from half a turn a second', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    await link.setDriveSpeed(3);
    const speeds = () =>
      rig.heard.flatMap((command) => (command.type === 'drive' ? [command.speed_mHz] : []));
    expect(speeds()).toEqual([500, 1000, 2000, 3000]);
    await link.setDriveSpeed(0.3);
    expect(speeds().slice(4)).toEqual([300]);
    await link.close();
  });

  it('is not started again by a link that comes back after the cable was out', async () => {
    const rig = scriptedRig();
    const first = await openRigLink(rig);
    await first.setDriveSpeed(0.4);
    rig.unplug();
    while (first.isDriving()) await new Promise((resolve) => setImmediate(resolve));
    const drives = () => rig.heard.filter(({ type }) => type === 'drive').length;
    const before = drives();
    const second = await openRigLink(rig);
    expect(rig.speed_mHz()).toBe(0);
    expect(rig.heard.at(-1)).toMatchObject({ type: 'halt' });
    expect(drives()).toBe(before);
    await second.close();
  });
});

describe('the host, behind a firmware that does not trip, halts the drive', () => {
  const noisy = (time_us: number) => Math.round(300 * Math.sin(time_us / 1e4));
  const cases: [string, ScriptedRigOptions['counts'], Partial<RecordBuildOptions>, RegExp][] = [
    [
      'for a force over the limit',
      (kind, us) => (kind === 'force' && us > 3e6 ? 20_000 + noisy(us) : noisy(us)),
      { limits: { ...limits, force_N: 12 } },
      /a force of .* N, over the limit of 12 N/,
    ],
    [
      'for counts that are stuck',
      (kind, us) => (kind === 'force' && us > 3e6 ? 1234 : noisy(us)),
      {},
      /force counts stuck at 1234/,
    ],
    [
      "for counts at the end of the converter's range",
      (kind, us) => (kind === 'force' && us > 3e6 ? 8_388_607 : noisy(us)),
      {},
      /end of the converter's range \(8388607\)/,
    ],
    [
      'for a travel the rig does not have',
      (kind, us) => (kind === 'position' && us > 3e6 ? 30_000 : noisy(us)),
      { limits: { ...limits, stroke_m: 0.02 } },
      /a travel of .* mm on a rig with 20.0 mm/,
    ],
  ];
  for (const [name, counts, options, words] of cases)
    it(name, async () => {
      const { rig, outcome, stateReason } = await run({ counts: counts! }, options);
      expect(outcome).toMatchObject({ state: 'interrupted', failure: { code: 'load-unsafe' } });
      expect(stateReason).toMatch(words);
      expect(rig.speed_mHz()).toBe(0);
      expect(outcome.elapsed_s).toBeGreaterThan(1.7);
      expect(outcome.elapsed_s).toBeLessThan(2.5);
    });

  it('for conversions that stay away while positions come', async () => {
    const { rig, outcome, stateReason } = await run({
      onWire: (bytes, frame) =>
        frame.type === 'sample' && frame.kind === 'force' && frame.deviceTime_us > 3e6 ? null : bytes,
    });
    expect(outcome.failure?.code).toBe('load-unsafe');
    expect(stateReason).toMatch(/no force for \d+ ms/);
    expect(rig.speed_mHz()).toBe(0);
    expect(outcome.elapsed_s).toBeLessThan(2.5);
  });

  it('but not for a line or two that the cable lost, nor for any load while nothing turns', async () => {
    let forces = 0;
    const { outcome } = await run({
      onWire: (bytes, frame) =>
        frame.type === 'sample' && frame.kind === 'force' && ++forces % 100 < 6 ? null : bytes,
    });
    expect(outcome).toMatchObject({ state: 'complete', failure: null });
    expect(outcome.statistics.linesMissing).toBeGreaterThan(20);
  });

  it('and refuses a step faster than the owner allows, before anything moves', async () => {
    await expect(run({}, { limits: { ...limits, speed_rev_per_s: 0.3 } })).rejects.toMatchObject({
      code: 'speed-out-of-range',
    });
    expect(logbook.listRecordings({ withDiscarded: true })).toEqual([]);
  });
});

it('the firmware comes first: where it trips, its own word is what is told', async () => {
  for (const [overload_N, code] of [
    [60, 'rig-stopped'],
    [1e6, 'load-unsafe'],
  ] as const) {
    const rig = simulatedRig({
      seed: 5,
      build: 'low-drag-seal',
      pace: 'simulated',
      hardware: { ...exactRig, overload_N },
      faults: [{ kind: 'push', at_s: 2, for_s: 1, force_N: 150 }],
    });
    const link = await openRigLink(rig);
    logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
    const shock = logbook.createShock({ name: `shock ${overload_N}` });
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: `build ${overload_N}` });
    const outcome = await recordBuild({
      link,
      logbook,
      buildId,
      procedure: ladder,
      limits: { ...limits, force_N: 60 },
    });
    expect(outcome.failure?.code).toBe(code);
    expect(rig.commanded_rev_per_s).toBe(0);
    await link.close();
  }
});
