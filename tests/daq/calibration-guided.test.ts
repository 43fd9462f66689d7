import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeTrace, readCheckStandard } from '../../analysis/calibration/index.js';
import {
  guideForce,
  guideLengths,
  lagFromRecording,
  type MassPlan,
  movingMassFromRecording,
} from '../../daq/calibrating/calibrate.js';
import type { GuidedStep } from '../../daq/calibrating/known-values.js';
import { steadyReading } from '../../daq/calibrating/steady-reading.js';
import type { ForceScale, PositionScale } from '../../daq/calibration.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import {
  noRemountSpread,
  ownedRig,
  type RigHardware,
  simulatedRig,
  simulatedRigCalibration,
  testPieces,
} from '../../daq/simulated-rig/index.js';
import { handsOf } from './calibration-hands.js';

let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'calibration-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

async function bench(seed: number, piece: keyof typeof testPieces, hardware: RigHardware = ownedRig(seed)) {
  const rig = simulatedRig({
    seed,
    build: testPieces[piece],
    pace: 'simulated',
    hardware,
    spread: noRemountSpread,
  });
  const link = await openRigLink({ path: rig.path, binding: rig.binding, clock: rig.clock });
  return { rig, link, hardware };
}

const masses: MassPlan = {
  masses_kg: [0.1, 0.2, 0.5, 0.8, 1.2],
  runs: 2,
  gravity_m_per_s2: 9.8118,
  referenceUncertainty: 1e-4,
  sense: 1,
  cellCapacity_N: 98,
};

const counted = (scale: number, error: number | null | undefined) => ({ scale, error: error! });

describe('a guided force calibration', () => {
  it('leads a rig owner up and down and finds the true scale within its interval', async () => {
    const owned = ownedRig(7);
    const other = { ...owned, cell: { ...owned.cell, counts_per_N: 1.002 * owned.cell.counts_per_N } };
    const { rig, link, hardware } = await bench(7, 'bare-slide', other);
    const { operator, steps } = handsOf(rig);
    const { part, evidence } = await guideForce(link, masses, operator);
    await link.close();
    expect(steps).toHaveLength(2 * 11);
    expect(steps.slice(0, 11).map(({ value }) => value)).toEqual([
      0, 0.1, 0.2, 0.5, 0.8, 1.2, 0.8, 0.5, 0.2, 0.1, 0,
    ]);
    expect(steps.at(-1)).toMatchObject({ step: 22, steps: 22, run: 2, direction: 'down' });
    const value = part.value as ForceScale;
    const { scale, error } = counted(value.newton_per_count, value.standardUncertainty_newton_per_count);
    const truth = 1 / hardware.cell.counts_per_N;
    expect(Math.abs(scale - truth)).toBeLessThan(2.5 * error);
    // What was believed before is off by more than this calibration can be.
    expect(error / truth).toBeLessThan(4e-4);
    expect(Math.abs(simulatedRigCalibration.force.newton_per_count - truth)).toBeGreaterThan(2.5 * error);
    expect(value.bend_per_N).toBeUndefined();
    expect(value.standardUncertainty_N).toBeLessThan(0.01);
    expect(evidence).toMatchObject({ conditions: masses, calibration: { choice: { chosen: 'straight' } } });
  }, 60_000);

  it('finds a cell that bends', async () => {
    const owned = ownedRig(8);
    const hardware = { ...owned, cell: { ...owned.cell, bend_per_N: 1.5e-3 } };
    const { rig, link } = await bench(8, 'bare-slide', hardware);
    const found = await guideForce(link, masses, handsOf(rig).operator);
    await link.close();
    const value = found.part.value as ForceScale;
    expect(value.bend_per_N).toBeCloseTo(1.5e-3, 4);
  }, 60_000);

  it('waits for a mass to stop swinging', async () => {
    const { rig, link, hardware } = await bench(9, 'bare-slide');
    const zero = await steadyReading(link, 'force');
    rig.hang(1);
    const elapsed: number[] = [];
    const hung = await steadyReading(link, 'force', {
      onProgress: ({ elapsed_s }) => elapsed.push(elapsed_s),
    });
    await link.close();
    const truth_N = 9.8118 * (1 - 1.2 / 8000);
    const read_N = (hung.counts - zero.counts) / hardware.cell.counts_per_N;
    // A swing of 2 % of 9.8 N is 0.2 N at first.
    expect(Math.abs(read_N - truth_N)).toBeLessThan(0.008);
    expect(elapsed.at(-1)).toBeGreaterThan(4);
    expect(hung.temperature_degC).toBeGreaterThan(15);
  });

  it('says that a force is not steady instead of taking its mean', async () => {
    const { rig, link } = await bench(10, 'bare-slide');
    const drifting = steadyReading(link, 'force', {
      longest_s: 6,
      onProgress: ({ elapsed_s }) => rig.hang(0.5 + 0.05 * elapsed_s),
    });
    await expect(drifting).rejects.toMatchObject({ code: 'not-steady' });
    await link.close();
  });

  it('hangs nothing when the heaviest mass is too much for the cell', async () => {
    const { rig, link } = await bench(11, 'bare-slide');
    const { operator, steps } = handsOf(rig);
    const plan = { ...masses, cellCapacity_N: 10 };
    await expect(guideForce(link, plan, operator)).rejects.toMatchObject({ code: 'over-capacity' });
    const few = { ...masses, masses_kg: [0.1, 0.2, 0.3, 0.4] };
    await expect(guideForce(link, few, operator)).rejects.toMatchObject({ code: 'calibration-refused' });
    await link.close();
    expect(steps).toEqual([]);
  });

  it('can be left at any step: sampling ends and the link goes on', async () => {
    const { rig, link } = await bench(12, 'bare-slide');
    const controller = new AbortController();
    const leave = ({ step }: GuidedStep) => {
      if (step === 3) controller.abort(new Error('left'));
    };
    const guided = guideForce(link, masses, handsOf(rig, leave).operator, controller.signal);
    await expect(guided).rejects.toThrow('left');
    expect((await steadyReading(link, 'force')).samples).toBeGreaterThan(100);
    await link.close();
  });
});

describe('a guided position calibration', () => {
  it('finds the true scale and full extension from lengths', async () => {
    const { rig, link, hardware } = await bench(13, 'bare-slide');
    const plan = { lengths_m: [0.005, 0.01, 0.015, 0.02], runs: 2, lengthUncertainty_m: 1e-5 };
    const { part } = await guideLengths(link, plan, handsOf(rig).operator);
    await link.close();
    const value = part.value as PositionScale;
    const truth = 1 / hardware.position.counts_per_m;
    const { scale, error } = counted(value.metre_per_count, value.standardUncertainty_metre_per_count);
    expect(Math.abs(scale - truth)).toBeLessThan(2.5 * error);
    expect(error / truth).toBeLessThan(2e-3);
    expect(Math.abs(value.zero_counts - hardware.position.zero_counts)).toBeLessThan(3);
  }, 60_000);
});

describe('checks of the moving rig', () => {
  const steps = [0.4, 0.9, 1.7, 3.1].map((speed_rev_per_s) => ({
    speed_rev_per_s,
    duration_s: Math.max(3, 5 / speed_rev_per_s),
  }));

  async function recorded(seed: number, piece: 'dry-spring' | 'bare-slide') {
    const { rig, link } = await bench(seed, piece);
    logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
    const shock = logbook.createShock({ name: `rig care ${piece}` });
    const build = logbook.createBuild({ shockId: shock.id, name: piece });
    const { recordingId } = await recordBuild({
      link,
      logbook,
      buildId: build.id,
      procedure: { name: 'lag-check', steps, duration_s: null },
    });
    await link.close();
    return { recordingId, truth: rig.truth() };
  }

  it('find the lag of the force and the mass that moves with a dry spring', async () => {
    const { recordingId, truth } = await recorded(14, 'dry-spring');
    const { part, evidence } = lagFromRecording(logbook, recordingId);
    const { value_s, standardUncertainty_s } = part.value as {
      value_s: number;
      standardUncertainty_s: number;
    };
    expect(Math.abs(1000 * value_s - truth.lag_ms)).toBeLessThan(0.03);
    expect(Math.abs(1000 * value_s - truth.lag_ms)).toBeLessThan(3 * 1000 * standardUncertainty_s);
    expect(1000 * standardUncertainty_s).toBeLessThan(0.02);
    expect(evidence.check.springRate_N_per_m.value / 870).toBeCloseTo(1, 2);
  }, 60_000);

  it('weigh the bare slide', async () => {
    const { recordingId, truth } = await recorded(15, 'bare-slide');
    const { value_kg, standardUncertainty_kg } = movingMassFromRecording(logbook, recordingId).part.value as {
      value_kg: number;
      standardUncertainty_kg: number;
    };
    expect(Math.abs(value_kg / truth.movingMass_kg - 1)).toBeLessThan(0.04);
    expect(Math.abs(value_kg - truth.movingMass_kg)).toBeLessThan(4 * standardUncertainty_kg);
  }, 60_000);

  it('refuse a recording that was not made for them', async () => {
    const { recordingId } = await recorded(16, 'bare-slide');
    expect(() => lagFromRecording(logbook, recordingId)).toThrow(/stiffness.*wanted a spring/);
  }, 60_000);
});

describe('the check standard', () => {
  it('is read with the drag that was played, the delay of the converter taken off', async () => {
    const { rig, link } = await bench(17, 'check-standard');
    logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
    const shock = logbook.createShock({ name: 'rig care' });
    const build = logbook.createBuild({ shockId: shock.id, name: 'check standard' });
    const { recordingId } = await recordBuild({
      link,
      logbook,
      buildId: build.id,
      procedure: {
        name: 'slow-sweep',
        steps: [{ speed_rev_per_s: 0.25, duration_s: 17.5 }],
        duration_s: null,
      },
    });
    await link.close();
    const known = { value_s: rig.truth().lag_ms / 1000, standardUncertainty_s: 1e-5 };
    const { trace } = logbook.readRecording(recordingId);
    const made = makeTrace({ ...trace, rig: { ...trace.rig, lag: known } });
    const outcome = made.ok ? readCheckStandard(made.trace) : made;
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const { friction_N, rate_N_per_mm } = outcome.reading;
    expect(Math.abs(friction_N.value / rig.truth().drag.mean_N - 1)).toBeLessThan(0.01);
    expect(Math.abs(rate_N_per_mm.value / 0.64 - 1)).toBeLessThan(0.004);
  }, 60_000);
});
