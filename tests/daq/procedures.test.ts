import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { byHand, type Procedure, speedLadder, withRests } from '../../daq/procedures.js';
import { crankMotion } from '../../daq/recording/crank-motion.js';
import { type RecordBuildOptions, recordBuild } from '../../daq/recording/record-build.js';
import { simulatedRig, simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { type ScriptedRigOptions, scriptedRig } from './scripted-rig.js';

let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'procedures-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

function newBuild() {
  const shock = logbook.createShock({ name: 'test piece' });
  return logbook.createBuild({ shockId: shock.id, name: 'as found' }).id;
}

describe('a crank that is followed by its position', () => {
  it('tells turns and speed for any stroke, wherever it lies, with noise, within two per cent', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.15, max: 3, noNaN: true }),
        fc.double({ min: 3e-3, max: 0.05, noNaN: true }),
        fc.double({ min: -0.1, max: 0.1, noNaN: true }),
        (speed, radius_m, middle_m) => {
          const motion = crankMotion();
          const end_s = 6 / speed;
          for (let i = 0; i / 400 < end_s; i++) {
            const noise_m = 1e-5 * Math.sin(12.9898 * i);
            motion.take(2500 * i, middle_m - radius_m * Math.cos((2 * Math.PI * speed * i) / 400) + noise_m);
          }
          // The first stroke shows where the ends are; what is counted begins with it.
          expect(motion.turns()).toBeGreaterThan(5.3);
          expect(motion.turns()).toBeLessThan(6.1);
          expect(motion.speed_rev_per_s()! / speed).toBeGreaterThan(0.8);
          expect(motion.speed_rev_per_s()! / speed).toBeLessThan(1.2);
        },
      ),
      { seed: 4, numRuns: 60 },
    );
  });

  it('says nothing before a stroke, and nothing for noise alone', () => {
    const motion = crankMotion();
    for (let i = 0; i < 2000; i++) motion.take(2500 * i, 0.01 + 5e-6 * Math.sin(78.233 * i));
    expect(motion.speed_rev_per_s()).toBeNull();
    expect(motion.turns()).toBe(0);
  });
});

describe('a procedure that the drive runs', () => {
  it('keeps what was asked beside what the crank really did, in each step', async () => {
    const rig = simulatedRig({ seed: 8, build: 'low-drag-seal', pace: 'simulated' });
    const link = await openRigLink(rig);
    logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
    const steps = withRests(
      [
        { speed_rev_per_s: 0.5, duration_s: 6 },
        { speed_rev_per_s: 1.5, duration_s: 4 },
      ],
      { settle_s: 1, dwell_s: 2 },
    );
    const stood: number[] = [];
    const outcome = await recordBuild({
      link,
      logbook,
      buildId: newBuild(),
      procedure: speedLadder(steps),
      onProgress: ({ step }) => step?.step.speed_rev_per_s === null && stood.push(rig.commanded_rev_per_s),
    });
    await link.close();
    const { procedure } = logbook.findRecording(outcome.recordingId)!;
    expect(procedure.steps).toEqual(steps);
    const [slow, dwell, fast] = procedure.happened;
    expect(slow!.measured_rev_per_s! / 0.5).toBeCloseTo(1, 1);
    expect(fast!.measured_rev_per_s! / 1.5).toBeCloseTo(1, 1);
    expect(fast!.turns!).toBeGreaterThan(5);
    expect(dwell).toMatchObject({ speed_rev_per_s: null });
    expect(dwell!.end_s - dwell!.start_s).toBeCloseTo(2, 1);
    expect(new Set(stood)).toEqual(new Set([0]));
    expect(fast!.end_s).toBeCloseTo(7 + 2 + 5, 0);
  });

  it('stands at an end of the stroke where it was asked to', async () => {
    const rig = simulatedRig({ seed: 8, build: 'low-drag-seal', pace: 'simulated' });
    const link = await openRigLink(rig);
    logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
    const steps = [
      { speed_rev_per_s: 0.5, duration_s: 3.3, toEnd: true },
      { speed_rev_per_s: null, duration_s: 2 },
      { speed_rev_per_s: 0.5, duration_s: 1.1 },
    ];
    const stood: number[] = [];
    const all: number[] = [];
    let isStanding = false;
    const { recordingId } = await recordBuild({
      link,
      logbook,
      buildId: newBuild(),
      procedure: { name: 'slow-sweep', steps, duration_s: null },
      onProgress: ({ step }) => {
        isStanding = step?.index === 1;
      },
      onSamples: ({ position: { position_m } }) => {
        all.push(...position_m);
        if (isStanding) stood.push(...position_m);
      },
    });
    await link.close();
    const [turned, stand] = logbook.findRecording(recordingId)!.procedure.happened;
    expect(turned!.end_s).toBeGreaterThan(3.7);
    expect(turned!.end_s).toBeLessThan(4.3);
    expect(stand!.end_s - stand!.start_s).toBeCloseTo(2, 1);
    const [low, high] = [Math.min(...all), Math.max(...all)];
    const away = stood.map((position) => Math.min(position - low, high - position) / (high - low));
    expect(stood.length).toBeGreaterThan(600);
    expect(Math.max(...away)).toBeLessThan(0.02);
  });

  it('goes on from cooling down as soon as it is cool, and after its time where it is not', async () => {
    for (const [to_degC, expected_s] of [
      [60, 0],
      [-30, 3],
    ] as const) {
      const rig = simulatedRig({ seed: 8, build: 'low-drag-seal', pace: 'simulated' });
      const link = await openRigLink(rig);
      const { rigName } = link.identity();
      const rigId = logbook.rigNamed(rigName);
      if (!logbook.calibrationInForce(rigId)) logbook.addCalibration(rigId, simulatedRigCalibration);
      const steps = withRests(
        [
          { speed_rev_per_s: 0.5, duration_s: 2 },
          { speed_rev_per_s: 1, duration_s: 2 },
        ],
        { coolDown: { to_degC, atMost_s: 3 } },
      );
      const buildId = logbook.findBuild('as found')?.id ?? newBuild();
      const outcome = await recordBuild({ link, logbook, buildId, procedure: speedLadder(steps) });
      await link.close();
      const { happened } = logbook.findRecording(outcome.recordingId)!.procedure;
      expect(happened).toHaveLength(3);
      expect(happened[1]!.end_s - happened[1]!.start_s).toBeCloseTo(expected_s, 0);
      expect(happened[2]!.end_s - happened[1]!.end_s).toBeCloseTo(2, 0);
    }
  });
});

describe('a procedure by hand', () => {
  /** A person whose speed follows a list: seconds on the device's clock from the first sample, and rev/s. */
  function turner(plan: readonly (readonly [until_s: number, speed: number])[]): ScriptedRigOptions {
    const angleAt = (time_s: number) => {
      let turns = 0;
      let from_s = 0;
      for (const [until_s, speed] of plan) {
        turns += speed * Math.max(0, Math.min(time_s, until_s) - from_s);
        from_s = until_s;
      }
      return 2 * Math.PI * turns;
    };
    return {
      drive: false,
      counts: (kind, us) =>
        kind === 'force' ? 0 : Math.round(12_000 * (1 - Math.cos(angleAt(us / 1e6 - 1)))),
    };
  }

  async function turn(
    plan: Parameters<typeof turner>[0],
    procedure: Procedure,
    more: Partial<RecordBuildOptions> = {},
  ) {
    const rig = scriptedRig(turner(plan));
    const link = await openRigLink(rig);
    logbook.addCalibration(logbook.rigNamed('scripted'), {
      force: { newton_per_count: 0.001, zero_counts: 0 },
      position: { metre_per_count: 1e-6, zero_counts: 0 },
    });
    const outcome = await recordBuild({ link, logbook, buildId: newBuild(), procedure, ...more });
    await link.close();
    return { outcome, happened: logbook.findRecording(outcome.recordingId)!.procedure.happened, rig };
  }

  it('goes on when so many turns were made within the band, and keeps asked and happened', async () => {
    const plan = [
      [9, 0.52],
      [60, 1.1],
    ] as const;
    const bands: (number | null)[] = [];
    const { outcome, happened, rig } = await turn(plan, byHand([0.5, 1], 3), {
      onProgress: ({ crank_rev_per_s }) => bands.push(crank_rev_per_s),
    });
    expect(outcome).toMatchObject({ state: 'complete', failure: null });
    expect(happened).toMatchObject([{ speed_rev_per_s: 0.5 }, { speed_rev_per_s: 1 }]);
    expect(happened[0]!.measured_rev_per_s).toBeCloseTo(0.52, 1);
    expect(happened[1]!.turns!).toBeGreaterThanOrEqual(3);
    expect(Math.max(...bands.map((speed) => speed ?? 0))).toBeCloseTo(1.1, 0);
    expect(rig.heard.some(({ type }) => type === 'drive' || type === 'beat')).toBe(false);
  });

  it('does not count turns outside the band, and goes on when the person asks for it', async () => {
    let asked = false;
    const { happened } = await turn([[60, 2]], byHand([0.5, 2], 2), {
      isSkipped: () => {
        const isNow = asked;
        asked = false;
        return isNow;
      },
      onProgress: ({ elapsed_s, step }) => {
        if (step?.index !== 0 || elapsed_s < 5) return;
        expect(step.turns()).toBe(0);
        asked = true;
      },
    });
    expect(happened[0]!.end_s).toBeCloseTo(5, 0);
    expect(happened[0]!.turns!).toBeGreaterThan(8);
    expect(happened[1]!.measured_rev_per_s).toBeCloseTo(2, 0);
  });

  it('stopped before its last step, is interrupted', async () => {
    const stop = new AbortController();
    const { outcome, happened } = await turn([[60, 0.5]], byHand([0.5, 2], 2), {
      signal: stop.signal,
      onProgress: ({ step }) => step?.index === 1 && stop.abort(),
    });
    expect(outcome.state).toBe('interrupted');
    expect(happened).toHaveLength(2);
  });
});
