import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeTrace } from '../../analysis/index.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { capture, defaultSpeedLadder, plannedDuration_s, speedLadder } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { type ScriptedRigOptions, scriptedRig } from './scripted-rig.js';

const calibration = {
  force: { newton_per_count: 0.001, zero_counts: 100 },
  position: { metre_per_count: 1e-6, zero_counts: 5000 },
};

let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'recording-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

async function bench(options: ScriptedRigOptions = {}) {
  const rig = scriptedRig(options);
  const link = await openRigLink(rig);
  const shock = logbook.createShock({ name: 'test piece' });
  const build = logbook.createBuild({ shockId: shock.id, name: 'as found' });
  logbook.addCalibration(logbook.rigNamed('scripted'), calibration);
  return { rig, link, logbook, buildId: build.id };
}

describe('recording a build', () => {
  it('runs a speed ladder on device time and stores every sample', async () => {
    const { rig, ...what } = await bench();
    const procedure = speedLadder([
      { speed_rev_per_s: 0.5, duration_s: 2 },
      { speed_rev_per_s: 2, duration_s: 1 },
    ]);
    const speeds: (number | null)[] = [];
    const outcome = await recordBuild({
      ...what,
      procedure,
      onProgress: ({ speed_rev_per_s }) => speeds.push(speed_rev_per_s),
    });
    await what.link.close();
    expect(outcome).toMatchObject({ state: 'complete', reason: '', failure: null });
    expect(outcome.statistics).toMatchObject({ linesMissing: 0, linesSkipped: {}, linesDroppedByDevice: 0 });
    expect(rig.heard.filter(({ type }) => type === 'drive')).toMatchObject([
      { speed_mHz: 500 },
      { speed_mHz: 2000 },
    ]);
    expect(rig.speed_mHz()).toBe(0);
    expect(new Set(speeds)).toEqual(new Set([0.5, 2]));

    const { recording, trace } = logbook.readRecording(outcome.recordingId);
    expect(recording.remount).toBe(1);
    expect(recording.procedure.happened).toHaveLength(2);
    expect(recording.procedure.happened[1]!.end_s).toBeCloseTo(3, 1);
    // 3 s at 80 Hz and 200 Hz, and a few more while the rig is told to stop.
    expect(trace.force.time_s.length).toBe(outcome.samples.force);
    expect(outcome.samples.force).toBeGreaterThanOrEqual(241);
    expect(outcome.samples.force).toBeLessThan(260);
    expect(trace.position.time_s.length).toBe(outcome.samples.position);
    expect(makeTrace(trace).ok).toBe(true);
    expect(trace.rig).toMatchObject({ kernel: 'sinc4', samplesMissing: 0 });
    expect(trace.rig!.conversionPeriod_s).toBeCloseTo(1 / 80, 9);
    expect(trace.rig!.forceLow_N).toBeCloseTo(-8388.708, 6);
  });

  it('reads counts as N and m at true instants, delay taken off', async () => {
    const { rig: _rig, ...what } = await bench({ startTime_us: 2_000_000 });
    const { recordingId } = await recordBuild({ ...what, procedure: capture('unknown', 0.5) });
    await what.link.close();
    const { trace } = logbook.readRecording(recordingId);
    const stamp_us = Math.round(trace.position.time_s[0]! * 1e6 + 416);
    const counts = Math.round(1000 * Math.sin(stamp_us / 1e5)) + 5000;
    expect(trace.position.position_m[0]).toBeCloseTo((counts - 5000) * 1e-6, 12);
    const force_counts = Math.round(1000 * Math.sin(trace.force.time_s[0]! * 10));
    expect(trace.force.force_N[0]).toBeCloseTo((force_counts - 100) * 0.001, 12);
  });

  it('goes on through the wrap of the device clock', async () => {
    const { rig: _rig, ...what } = await bench({ startTime_us: 2 ** 32 - 1_000_000 });
    const { recordingId } = await recordBuild({ ...what, procedure: capture('unknown', 3) });
    await what.link.close();
    const { trace } = logbook.readRecording(recordingId);
    const times = trace.force.time_s;
    expect(times.at(-1)! - times[0]!).toBeGreaterThanOrEqual(2.98);
    expect(trace.rig!.samplesMissing).toBe(0);
  });

  it('hands live samples on as they come, all of them once', async () => {
    const { rig: _rig, ...what } = await bench();
    let force = 0;
    let latest_s = -1;
    const outcome = await recordBuild({
      ...what,
      procedure: capture('unknown', 2),
      onSamples: (live) => {
        force += live.force.time_s.length;
        if (live.force.time_s.length > 0) {
          expect(live.force.time_s[0]).toBeGreaterThan(latest_s);
          latest_s = live.force.time_s.at(-1)!;
        }
      },
    });
    await what.link.close();
    expect(force).toBe(outcome.samples.force);
    expect(latest_s).toBeCloseTo(outcome.elapsed_s, 1);
  });

  it('makes durable at least once a second of device time', async () => {
    const { rig: _rig, ...what } = await bench();
    const lags_s: number[] = [];
    await recordBuild({
      ...what,
      procedure: capture('unknown', 5),
      onProgress: ({ recordingId, elapsed_s }) => {
        const reader = openLogbook(join(folder, 'log.db'), { readOnly: true });
        const { force } = reader.readRecording(recordingId).trace;
        reader.close();
        lags_s.push(elapsed_s - (force.time_s.at(-1)! - force.time_s[0]!));
      },
    });
    await what.link.close();
    expect(Math.max(...lags_s)).toBeLessThan(0.8);
  });

  it('stopped from outside: complete where the procedure has no end of its own, else interrupted', async () => {
    const { rig, ...what } = await bench();
    for (const [procedure, state] of [
      [capture('slow-sweep', null), 'complete'],
      [defaultSpeedLadder, 'interrupted'],
    ] as const) {
      const stop = new AbortController();
      const outcome = await recordBuild({
        ...what,
        procedure,
        signal: stop.signal,
        onProgress: ({ elapsed_s }) => elapsed_s > 1 && stop.abort(),
      });
      expect(outcome).toMatchObject({ state, failure: null });
      expect(rig.speed_mHz()).toBe(0);
      expect(rig.isSampling()).toBe(false);
      expect(outcome.elapsed_s).toBeLessThan(1.2);
    }
    await what.link.close();
    expect(logbook.listRecordings().map(({ state, remount }) => [state, remount])).toEqual([
      ['complete', 1],
      ['interrupted', 2],
    ]);
  });

  it('ends as interrupted when the rig stops its drive, and halts it', async () => {
    const { rig, ...what } = await bench();
    const outcome = await recordBuild({
      ...what,
      procedure: defaultSpeedLadder,
      onProgress: ({ elapsed_s }) => {
        if (elapsed_s < 2 || rig.speed_mHz() === 0) return;
        rig.trip();
        rig.send({ type: 'event', deviceTime_us: rig.time_us(), event: 'end-switch', value: 2 });
      },
    });
    await what.link.close();
    expect(outcome.state).toBe('interrupted');
    expect(outcome.failure?.code).toBe('rig-stopped');
    const { recording } = logbook.readRecording(outcome.recordingId);
    expect(recording.procedure.events).toMatchObject([{ event: 'end-switch', value: 2 }]);
    expect(recording.procedure.events[0]!.time_s).toBeCloseTo(2, 1);
    expect(recording.stateReason).toMatch(/end-switch \(2\)/);
  });

  it('keeps what came before a rig restarted', async () => {
    const { rig, ...what } = await bench();
    const outcome = await recordBuild({
      ...what,
      procedure: defaultSpeedLadder,
      onProgress: ({ elapsed_s }) => elapsed_s > 1.5 && rig.time_us() && rig.isSampling() && rig.reset(true),
    });
    expect(outcome.failure?.code).toBe('rig-restarted');
    expect(outcome.state).toBe('interrupted');
    expect(outcome.elapsed_s).toBeCloseTo(1.5, 1);
    expect(logbook.readRecording(outcome.recordingId).trace.force.time_s.length).toBeGreaterThan(118);
    await what.link.close();
  });

  it('discards a recording into which nothing came, and says why', async () => {
    const { rig, ...what } = await bench({ onWire: (bytes, { type }) => (type === 'sample' ? null : bytes) });
    await expect(recordBuild({ ...what, procedure: capture('unknown', 1) })).rejects.toMatchObject({
      code: 'rig-silent',
    });
    expect(rig.isSampling()).toBe(false);
    expect(logbook.listRecordings()).toEqual([]);
    expect(logbook.listRecordings({ withDiscarded: true })).toMatchObject([{ state: 'discarded' }]);
    await what.link.close();
  });

  it('halts the drive when the logbook takes no more', async () => {
    const { rig, ...what } = await bench();
    const full: Logbook = {
      ...logbook,
      appendBlocks(...block) {
        if (rig.now_ms() > 2000) throw Object.assign(new Error('disk full'), { code: 'SQLITE_FULL' });
        logbook.appendBlocks(...block);
      },
    };
    const outcome = await recordBuild({ ...what, logbook: full, procedure: defaultSpeedLadder });
    expect(outcome.failure?.code).toBe('logbook-unwritable');
    expect(rig.speed_mHz()).toBe(0);
    expect(rig.isSampling()).toBe(false);
    expect(logbook.listRecordings()).toMatchObject([{ state: 'interrupted' }]);
    await what.link.close();
  });

  it('refuses before anything is written', async () => {
    const { rig, ...what } = await bench();
    const refused = async (change: object) => {
      await expect(recordBuild({ ...what, procedure: defaultSpeedLadder, ...change })).rejects.toMatchObject({
        name: 'DaqError',
      });
      expect(logbook.listRecordings({ withDiscarded: true })).toEqual([]);
    };
    await refused({ buildId: 99 });
    await refused({ calibrationId: 99 });
    await refused({ procedure: speedLadder([{ speed_rev_per_s: 6, duration_s: 1 }]) });
    expect(rig.heard.some(({ type }) => type === 'start' || type === 'drive')).toBe(false);
    await what.link.close();
  });
});

describe('a recording with a skipped conversion', () => {
  it('counts the gap and leaves out the force sample before it, which the logbook keeps', async () => {
    const { rig, ...what } = await bench();
    let done = false;
    const outcome = await recordBuild({
      ...what,
      procedure: capture('unknown', 2),
      onProgress: ({ elapsed_s }) => {
        if (elapsed_s > 1 && !done) rig.skipForce(4);
        done ||= elapsed_s > 1;
      },
    });
    await what.link.close();
    const { trace, trust } = logbook.readRecording(outcome.recordingId);
    expect(trust.find(({ kind }) => kind === 'force')).toMatchObject({
      missing: 4,
      doubted: 1,
      disordered: 0,
    });
    expect(trace.rig!.samplesMissing).toBe(5);
    expect(trace.force.time_s.length).toBe(outcome.samples.force - 1);
    const stored = logbook.readChannels(outcome.recordingId)[0]!;
    expect('counts' in stored && stored.counts.length).toBe(outcome.samples.force);
  });
});

it('the default ladder takes 24 s over speeds a factor 20 apart', () => {
  expect(plannedDuration_s(defaultSpeedLadder)).toBe(24);
  const speeds = defaultSpeedLadder.steps.map(({ speed_rev_per_s }) => speed_rev_per_s);
  expect(speeds.at(-1)! / speeds[0]!).toBeGreaterThan(19);
  for (const { speed_rev_per_s, duration_s } of defaultSpeedLadder.steps)
    expect(speed_rev_per_s * duration_s).toBeGreaterThan(1.2);
});
