import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Calibration, valuesFromCounts } from '../../daq/calibration.js';
import type { BuildId, RecordingId } from '../../daq/logbook/entities.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { MIGRATIONS, SCHEMA_VERSION } from '../../daq/logbook/schema.js';
import type { RigProfile } from '../../daq/rig-profile.js';

let folder: string;
let logbook: Logbook;
let hour = 0;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'calibration-'));
  hour = 0;
  logbook = openLogbook(join(folder, 'log.db'), { now: nextHour });
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});
const nextHour = () => new Date(Date.UTC(2026, 0, 1, hour++)).toISOString();

const straight: Calibration = {
  force: { newton_per_count: 4e-5, zero_counts: 41_000 },
  position: { metre_per_count: 4e-6, zero_counts: 4000 },
};

function build(name: string): BuildId {
  const shock = logbook.findShock('piece') ?? logbook.createShock({ name: 'piece' });
  return logbook.createBuild({ shockId: shock.id, name }).id;
}

/** A recording of a rig with two force and two position samples. */
function recorded(buildId: BuildId, rigName = 'bench', startedAt = nextHour()): RecordingId {
  const rigId = logbook.rigNamed(rigName);
  const calibration = logbook.calibrationInForce(rigId) ?? logbook.addCalibration(rigId, straight);
  const id = logbook.startRecording({
    buildId,
    rigId,
    calibrationId: calibration.id,
    procedure: { name: 'unknown', steps: [], duration_s: 1, happened: [], events: [] },
    startedAt,
    identity: null,
    simulated: false,
  });
  const deviceTimes_us = Float64Array.of(0, 1e5);
  logbook.appendBlocks(id, [
    { kind: 'force', unit: 'counts', deviceTimes_us, counts: Int32Array.of(41_000, 91_000) },
    { kind: 'position', unit: 'counts', deviceTimes_us, counts: Int32Array.of(4000, 5000) },
  ]);
  logbook.finishRecording(id, { state: 'complete' });
  return id;
}

describe('calibrations in the logbook', () => {
  it('come back whole: bend, crank, uncertainties, lag and mass', () => {
    const rich: Calibration = {
      force: {
        newton_per_count: -4.6e-5,
        zero_counts: 41_000.5,
        standardUncertainty_newton_per_count: 2e-9,
        bend_per_N: 3e-4,
        standardUncertainty_N: 0.004,
      },
      position: {
        metre_per_count: 1.8e-5,
        zero_counts: 913,
        standardUncertainty_metre_per_count: null,
        standardUncertainty_m: 3e-5,
        crank: { radius_m: 0.012, rod_m: 0.06, counts_per_revolution: 4096 },
      },
      lag: { value_s: 5e-4, standardUncertainty_s: 2e-5 },
      movingMass: { value_kg: 0.011, standardUncertainty_kg: 2e-4 },
    };
    const rigId = logbook.rigNamed('bench');
    const { id } = logbook.addCalibration(rigId, rich);
    expect(logbook.findCalibration(id)!.calibration).toEqual(rich);
  });

  it('of a logbook written before them are read as the straight lines they were', () => {
    const path = join(folder, 'old.db');
    const old = new Database(path);
    old.exec(MIGRATIONS[0]!);
    old.exec("INSERT INTO rig VALUES (1, 'bench', '2026-01-01T00:00:00.000Z')");
    old.exec(`INSERT INTO calibration VALUES
      (2, 1, 1, 4e-5, 41000, NULL, 4e-6, 4000, 1e-8, 'old', '2026-01-01T00:00:00.000Z')`);
    old.pragma('application_id = 1685086828');
    old.pragma('user_version = 1');
    old.close();
    const opened = openLogbook(path);
    const record = opened.calibrationNamed(opened.findRig('bench')!, 'latest');
    opened.close();
    expect(record.calibration).toEqual({
      force: { newton_per_count: 4e-5, zero_counts: 41_000, standardUncertainty_newton_per_count: null },
      position: { metre_per_count: 4e-6, zero_counts: 4000, standardUncertainty_metre_per_count: 1e-8 },
    });
    const after = new Database(path, { readonly: true });
    expect(after.pragma('user_version', { simple: true })).toBe(SCHEMA_VERSION);
    after.close();
  });

  it('are put together from parts: nothing until force and position are both there, then a version a part', () => {
    const rigId = logbook.rigNamed('bench');
    const first = logbook.addCalibrationPart(rigId, { part: 'force', value: straight.force }, { loads: 5 });
    expect(first).toEqual({ calibration: null, missing: ['position'] });
    expect(logbook.calibrationInForce(rigId)).toBeUndefined();
    const { calibration } = logbook.addCalibrationPart(
      rigId,
      { part: 'position', value: straight.position },
      null,
    );
    expect(calibration).toMatchObject({ version: 1, calibration: straight });
    const lag = { value_s: 1e-3, standardUncertainty_s: 1e-5 };
    const second = logbook.addCalibrationPart(rigId, { part: 'lag', value: lag }, { recordingId: 3 });
    expect(second.calibration).toMatchObject({ version: 2, calibration: { ...straight, lag } });
    const force = { newton_per_count: 4.1e-5, zero_counts: 41_010 };
    const third = logbook.addCalibrationPart(rigId, { part: 'force', value: force }, null);
    expect(third.calibration!.calibration).toMatchObject({ force, position: straight.position, lag });
    expect(logbook.listCalibrationParts(rigId).map(({ part }) => part)).toEqual([
      'force',
      'lag',
      'position',
      'force',
    ]);
    expect(logbook.listCalibrationParts(rigId).at(-1)!.evidence).toEqual({ loads: 5 });
  });

  it('newer ones change nothing of an old recording unless they are asked for', () => {
    const rigId = logbook.rigNamed('bench');
    const id = recorded(build('a'));
    logbook.addCalibration(rigId, { ...straight, force: { newton_per_count: 5e-5, zero_counts: 41_000 } });
    expect(logbook.readRecording(id).trace.force.force_N[1]).toBeCloseTo(2, 12);
    const newest = logbook.calibrationNamed(rigId, 'latest');
    expect(newest.version).toBe(2);
    expect(logbook.readRecording(id, newest.id).trace.force.force_N[1]).toBeCloseTo(2.5, 12);
    const own = logbook.calibrationNamed(rigId, 1);
    expect(logbook.readRecording(id, own.id).trace.force.force_N[1]).toBeCloseTo(2, 12);
    expect(() => logbook.calibrationNamed(rigId, 7)).toThrow(/version 7.*one of 1, 2, or latest/);
  });

  it('turn counts by bend and by crank', () => {
    const bent = { newton_per_count: 1e-3, zero_counts: 100, bend_per_N: 0.01 };
    const crank = { radius_m: 0.01, rod_m: 0.05, counts_per_revolution: -1000 };
    const calibration: Calibration = {
      force: bent,
      position: { metre_per_count: 1, zero_counts: 40, crank },
    };
    // 10 N give 10 000·(1 + 0.1) counts above zero.
    expect(valuesFromCounts('force', [100 + 11_000], calibration)[0]).toBeCloseTo(10, 12);
    expect(valuesFromCounts('position', [40, 540, -460], calibration)[1]).toBeCloseTo(0.02, 12);
    // A quarter turn on: R + L − √(L² − R²).
    expect(valuesFromCounts('position', [290], calibration)[0]).toBeCloseTo(0.06 - Math.sqrt(0.0024), 12);
  });
});

describe('rig profiles', () => {
  const profile: RigProfile = {
    forceSign: 1,
    positionSign: -1,
    fullExtension_counts: 4000,
    forceZero_counts: 41_000,
    cellCapacity_N: 98,
    forceLimit_N: 60,
    stroke_m: 0.024,
    drive: { speedMin_rev_per_s: 0.1, speedMax_rev_per_s: 3.5 },
    temperature: 'manual',
    gravity_m_per_s2: 9.81,
  };

  it('have versions of which the last holds, and none is edited', () => {
    const rigId = logbook.rigNamed('bench');
    expect(logbook.rigProfile(rigId)).toBeUndefined();
    logbook.addRigProfile(rigId, profile, 'first set-up');
    logbook.addRigProfile(rigId, { ...profile, forceLimit_N: 50 });
    expect(logbook.rigProfile(rigId)).toMatchObject({ version: 2, profile: { forceLimit_N: 50 } });
    expect(logbook.listRigProfiles(rigId).map(({ version }) => version)).toEqual([2, 1]);
    const raw = new Database(join(folder, 'log.db'));
    expect(() => raw.exec("UPDATE rig_profile SET note = 'x'")).toThrow(/profiles get versions/);
    raw.close();
  });

  it.each([
    [{ forceLimit_N: 120 }, /forceLimit_N.*at most the capacity of 98 N/],
    [{ cellCapacity_N: 0 }, /cellCapacity_N/],
    [{ stroke_m: 24 }, /stroke_m/],
    [{ drive: { speedMin_rev_per_s: 4, speedMax_rev_per_s: 1 } }, /drive/],
    [{ gravity_m_per_s2: 981 }, /gravity_m_per_s2/],
  ])('refuse %j', (wrong, says) => {
    const rigId = logbook.rigNamed('bench');
    expect(() => logbook.addRigProfile(rigId, { ...profile, ...wrong })).toThrow(says);
    expect(logbook.rigProfile(rigId)).toBeUndefined();
  });
});

describe('a lag that a spring check found', () => {
  it('goes with a recording that is read under its calibration', () => {
    const rigId = logbook.rigNamed('bench');
    const id = recorded(build('a'));
    expect(logbook.readRecording(id).trace.rig!.lag).toBeNull();
    const lag = { value_s: 5e-3, standardUncertainty_s: 2e-5 };
    const later = logbook.addCalibration(rigId, { ...straight, lag });
    expect(logbook.readRecording(id, later.id).trace.rig!.lag).toEqual(lag);
  });
});

describe('a temperature that somebody read off', () => {
  it('stands for the whole recording where there was no sensor, the last entry holding', () => {
    const id = recorded(build('a'));
    expect(logbook.readRecording(id).trace.temperature!.time_s).toHaveLength(0);
    logbook.enterTemperature(id, 20);
    logbook.enterTemperature(id, 23.5);
    const { temperature, force } = logbook.readRecording(id).trace;
    expect([...temperature!.temperature_degC]).toEqual([23.5, 23.5]);
    expect([...temperature!.time_s]).toEqual([...force.time_s]);
  });
});

describe('results and check standards', () => {
  const drag = (value: number) => [{ quantity: 'friction_N', value, standardError: 0.01 }];

  it('chart the check standard from its beginning on, and leave discarded recordings out', () => {
    const rigId = logbook.rigNamed('bench');
    const standard = build('check spring');
    const before = recorded(standard);
    const inForce = logbook.calibrationInForce(rigId)!.id;
    logbook.enterResults(before, inForce, drag(9));
    logbook.setCheckStandard(rigId, standard, 'spring and felt block');
    const ids = [1.0, 1.1, 5, 1.2].map((value) => {
      const id = recorded(standard);
      logbook.enterResults(id, inForce, drag(value));
      return id;
    });
    logbook.discardRecording(ids[2]!, 'mounted crooked');
    expect(logbook.checkHistory(rigId, 'friction_N').map(({ value }) => value)).toEqual([1.0, 1.1, 1.2]);
    logbook.enterResults(ids[0]!, inForce, drag(1.05));
    expect(logbook.checkHistory(rigId, 'friction_N')[0]!.value).toBe(1.05);
    expect(logbook.checkStandardOf(rigId)).toMatchObject({ buildName: 'check spring' });
    logbook.setCheckStandard(rigId, standard, 'new block');
    expect(logbook.checkHistory(rigId, 'friction_N')).toEqual([]);
  });

  it('give the long-run spread of remounts, of shocks where there is one, else of the check standard alone', () => {
    const rigId = logbook.rigNamed('bench');
    const standard = build('check spring');
    logbook.setCheckStandard(rigId, standard);
    for (const value of [1.0, 1.02]) {
      const id = recorded(standard);
      logbook.enterResults(id, logbook.calibrationInForce(rigId)!.id, drag(value));
    }
    const [share] = logbook.remountSpreadOf(rigId);
    expect(share).toMatchObject({ quantity: 'friction_N', degreesOfFreedom: 1, rigShareOnly: true });
    expect(share!.standardDeviation).toBeCloseTo(0.02 / Math.SQRT2, 12);

    const [one, two] = [build('one'), build('two')];
    for (const [buildId, value] of [
      [one, 0.8],
      [one, 0.9],
      [two, 0.5],
      [two, 0.54],
    ] as const)
      logbook.enterResults(recorded(buildId), logbook.calibrationInForce(rigId)!.id, drag(value));
    const [spread, ...more] = logbook.remountSpreadOf(rigId);
    expect(more).toEqual([]);
    expect(spread).toMatchObject({ degreesOfFreedom: 2, builds: 2, rigShareOnly: false });
    expect(spread!.standardDeviation).toBeCloseTo(Math.sqrt((0.005 + 0.0008) / 2), 12);
  });

  it('count beside recordings of one rig, from other builds than theirs', () => {
    const one = build('one');
    const ids = [0.8, 0.9].map((value) => {
      const id = recorded(one);
      logbook.enterResults(id, logbook.findRecording(id)!.calibrationId, drag(value));
      return id;
    });
    const beside = (...recordings: RecordingId[]) =>
      logbook.remountSpreadBeside(recordings.map((id) => logbook.findRecording(id)!));
    const other = recorded(build('two'));
    expect(beside(other)).toMatchObject([{ quantity: 'friction_N', degreesOfFreedom: 1 }]);
    expect(beside(other, ids[0]!)).toEqual([]);
    expect(beside(other, recorded(build('three'), 'another rig'))).toEqual([]);
  });

  it('of another rig are not mixed in', () => {
    const standard = build('spring');
    const id = recorded(standard, 'other');
    const other = logbook.findRig('other')!;
    logbook.enterResults(id, logbook.calibrationInForce(other)!.id, drag(1));
    expect(logbook.listResults(logbook.rigNamed('bench'))).toEqual([]);
    expect(logbook.listResults(other)).toHaveLength(1);
  });
});
