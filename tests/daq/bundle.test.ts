import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { exportBundle } from '../../daq/bundle/export-bundle.js';
import { importBundle, readBundle } from '../../daq/bundle/import-bundle.js';
import { readTraceCsv } from '../../daq/csv/trace-csv.js';
import { traceCsv, writeTraceCsv } from '../../daq/csv/write-trace-csv.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import type { Build, RecordingId } from '../../daq/logbook/entities.js';
import { importedChannels } from '../../daq/logbook/imported-channels.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { speedLadder } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { scriptedRig } from './scripted-rig.js';

let folder: string;
let logbook: Logbook;
let elsewhere: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bundle-'));
  logbook = openLogbook(join(folder, 'here.db'));
  elsewhere = openLogbook(join(folder, 'elsewhere.db'));
});
afterEach(() => {
  logbook.close();
  elsewhere.close();
  rmSync(folder, { recursive: true });
});

/** A recording with everything: parent build, delays, a wrap of the clock, a gap, a lost line, an event. */
async function recorded(): Promise<RecordingId> {
  const rig = scriptedRig({ startTime_us: 2 ** 32 - 500_000 });
  const link = await openRigLink(rig);
  const shock = logbook.createShock({ name: 'left', properties: { bore_mm: 12 } });
  const first = logbook.createBuild({
    shockId: shock.id,
    name: 'as bought',
    properties: { seal: 'blue', oil: 'thin', oil_cSt: 300, piston: 'stock' },
  });
  const parent = logbook.createBuild({
    shockId: shock.id,
    name: 'drilled',
    parentBuildId: first.id,
    change: 'holes opened',
    properties: { holes: 4, hole_mm: 1.3 },
  });
  const build = logbook.createBuild({
    shockId: shock.id,
    name: 'low drag',
    parentBuildId: parent.id,
    change: 'seal swapped',
    properties: { seal: 'quad' },
  });
  logbook.addCalibration(
    logbook.rigNamed('scripted'),
    {
      force: { newton_per_count: 1 / 43_800, zero_counts: 12.5, standardUncertainty_newton_per_count: 1e-8 },
      position: { metre_per_count: 1e-6 / 3, zero_counts: 5000 },
    },
    'weights',
  );
  let disturbed = false;
  const { recordingId } = await recordBuild({
    link,
    logbook,
    buildId: build.id,
    procedure: speedLadder([{ speed_rev_per_s: 1, duration_s: 2 }]),
    simulated: { seed: 7 },
    onProgress: ({ elapsed_s }) => {
      if (elapsed_s < 1 || disturbed) return;
      disturbed = true;
      rig.skipForce(3);
      rig.dropLines(2);
      rig.send({ type: 'event', deviceTime_us: rig.time_us(), event: 'overrun', value: 2 });
    },
  });
  await link.close();
  return recordingId;
}

describe('a bundle', () => {
  it('brings a recording into another logbook exactly', async () => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    expect(readdirSync(join(folder, 'out')).toSorted()).toEqual([
      'force.csv',
      'position.csv',
      'recording.json',
    ]);
    const copy = importBundle(elsewhere, await readBundle(join(folder, 'out')));

    expect(elsewhere.readChannels(copy)).toEqual(logbook.readChannels(id));
    const before = logbook.readRecording(id);
    const after = elsewhere.readRecording(copy);
    expect(after.trace).toEqual(before.trace);
    expect(after.trust).toEqual(before.trust);
    expect(after.trace.rig!.samplesMissing).toBe(4);
    expect(after.calibration.calibration).toEqual(before.calibration.calibration);
    const { id: _id, buildId, rigId, calibrationId, ...recording } = before.recording;
    expect(after.recording).toMatchObject({ ...recording, source: 'out' });
    // With all that it was made from, so that what it inherits is still inherited.
    const lineage = (builds: readonly Build[]) =>
      builds.map(({ name, change, shockName, properties, fitted, lineage }) => ({
        ...{ name, change, shockName, properties, fitted, lineage },
      }));
    expect(lineage(elsewhere.listBuilds())).toEqual(lineage(logbook.listBuilds()));
    expect(elsewhere.findBuild('low drag')!.wholeProperties).toEqual({
      ...{ seal: 'quad', oil: 'thin', oil_cSt: 300, piston: 'stock', holes: 4, hole_mm: 1.3 },
    });

    // And the same out of the other one, but for where it came from.
    await exportBundle(elsewhere, copy, join(folder, 'again'));
    for (const file of ['force.csv', 'position.csv'])
      expect(readFileSync(join(folder, 'again', file), 'utf8')).toBe(
        readFileSync(join(folder, 'out', file), 'utf8'),
      );
  });

  it('carries a temperature that somebody read off, and a calibration with bend, lag and mass', async () => {
    const id = await recorded();
    logbook.enterTemperature(id, 23.5);
    const { rigId, calibration } = logbook.readRecording(id).calibration;
    const rich = {
      ...calibration,
      force: { ...calibration.force, bend_per_N: 2e-4, standardUncertainty_N: 0.003 },
      lag: { value_s: 5e-4, standardUncertainty_s: 1e-5 },
      movingMass: { value_kg: 0.011, standardUncertainty_kg: 1e-4 },
    };
    const calibrationId = logbook.addCalibration(rigId!, rich).id;
    const again = logbook.startRecording({ ...logbook.findRecording(id)!, calibrationId });
    logbook.appendBlocks(again, logbook.readChannels(id));
    logbook.finishRecording(again, { state: 'complete' });
    logbook.enterTemperature(again, 23.5);
    await exportBundle(logbook, again, join(folder, 'rich'));
    const copy = importBundle(elsewhere, await readBundle(join(folder, 'rich')));
    const { trace, calibration: kept } = elsewhere.readRecording(copy);
    expect(kept.calibration).toEqual(rich);
    expect([...trace.temperature!.temperature_degC]).toEqual([23.5, 23.5]);
    expect(trace).toEqual(logbook.readRecording(again).trace);
  });

  it('uses the shock, build, rig and calibration that are there already', async () => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    const bundle = await readBundle(join(folder, 'out'));
    const copy = importBundle(elsewhere, bundle);
    elsewhere.discardRecording(copy, 'to have it again');
    importBundle(elsewhere, bundle);
    expect(elsewhere.listBuilds()).toHaveLength(3);
    expect(elsewhere.listCalibrations(elsewhere.findRig('scripted')!)).toHaveLength(1);
  });

  it('has of itself what it inherited where a name of its lineage is another shock’s', async () => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    const { id: shockId } = elsewhere.createShock({ name: 'right' });
    elsewhere.createBuild({ shockId, name: 'as bought' });
    importBundle(elsewhere, await readBundle(join(folder, 'out')));
    const copy = elsewhere.findBuild('low drag')!;
    expect(copy).toMatchObject({ shockName: 'left', parentBuildId: null });
    expect(copy.wholeProperties).toEqual(logbook.findBuild('low drag')!.wholeProperties);
  });

  it('is refused where the same recording is already, since it is no further remount', async () => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    const bundle = await readBundle(join(folder, 'out'));
    expect(() => importBundle(logbook, bundle)).toThrow(new RegExp(`found recording ${id}`));
    expect(logbook.listRecordings()).toHaveLength(1);
  });

  it('keeps imported values, float64 for float64', async () => {
    const shock = logbook.createShock({ name: 's' });
    const build = logbook.createBuild({ shockId: shock.id, name: 'b' });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.double({ noNaN: true, noDefaultInfinity: true }), { minLength: 1, maxLength: 50 }),
        async (values) => {
          const channel = {
            kind: 'force',
            unit: 'N',
            times_s: Float64Array.from(values),
            values: Float64Array.from(values).reverse(),
          } as const;
          const id = logbook.importRecording(
            {
              buildId: build.id,
              procedure: { name: 'unknown', steps: [], duration_s: null, happened: [], events: [] },
              startedAt: '2026-01-01T00:00:00.000Z',
            },
            [channel],
          );
          const out = join(folder, `float-${id}`);
          await exportBundle(logbook, id, out);
          expect((await readBundle(out)).channels).toEqual([channel]);
        },
      ),
      { seed: 6, numRuns: 20 },
    );
  });

  it('never overwrites, and leaves nothing half written', async () => {
    const id = await recorded();
    const out = join(folder, 'out');
    await exportBundle(logbook, id, out);
    await expect(exportBundle(logbook, id, out)).rejects.toMatchObject({ code: 'file-exists' });
    expect(readdirSync(out)).toHaveLength(3);
    await expect(exportBundle(logbook, id, join(folder, 'no/where'))).rejects.toMatchObject({
      code: 'file-unwritable',
    });
  });

  it.each([
    ['recording.json', (text: string) => text.slice(0, -20), /recording\.json: found no JSON/],
    [
      'recording.json',
      (text: string) => text.replace('"version": 1', '"version": 2'),
      /key version: found 2; wanted version 1/,
    ],
    [
      'recording.json',
      (text: string) => text.replace('"remount": 1', '"remount": "one"'),
      /recording\.remount: found "one"; wanted a whole number/,
    ],
    [
      'force.csv',
      (text: string) => text.slice(0, text.lastIndexOf('\n', text.length - 2) + 1),
      /found \d+ samples; wanted \d+, as recording\.json says/,
    ],
    [
      'force.csv',
      (text: string) => text.replace('force_counts', 'force_N'),
      /force\.csv, line 1: found columns/,
    ],
    [
      'force.csv',
      (text: string) => text.replace(/,(\d+)\n/, ',$1.5\n'),
      /column force_counts: found [\d.]+; wanted a whole number/,
    ],
    [
      'force.csv',
      (text: string) => text.replace(/,(\d+)\n/, ',$1x\n'),
      /column force_counts: found '\d+x'; wanted a number/,
    ],
  ])('with a damaged %s is refused and nothing of it entered', async (file, damage, message) => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    const path = join(folder, 'out', file);
    const text = readFileSync(path, 'utf8');
    writeFileSync(path, damage(text));
    expect(readFileSync(path, 'utf8')).not.toBe(text);
    await expect(readBundle(join(folder, 'out'))).rejects.toThrow(message);
  });

  it('is not entered in part when its build belongs to another shock here', async () => {
    const id = await recorded();
    await exportBundle(logbook, id, join(folder, 'out'));
    const right = elsewhere.createShock({ name: 'right' });
    elsewhere.createBuild({ shockId: right.id, name: 'low drag' });
    const bundle = await readBundle(join(folder, 'out'));
    expect(() => importBundle(elsewhere, bundle)).toThrow(/a build of shock 'right' here/);
    expect(elsewhere.listRecordings({ withDiscarded: true })).toEqual([]);
    expect(elsewhere.findRig('scripted')).toBeUndefined();
  });
});

describe('a recording written as CSV', () => {
  it('reads back the same to 12 digits, empty cells and all', async () => {
    const { trace } = logbook.readRecording(await recorded());
    const path = join(folder, 'run.csv');
    await writeTraceCsv(path, trace);
    const back = (await readTraceCsv(path)).trace;
    expect(back.force.time_s).toEqual(trace.force.time_s);
    expect(back.position.time_s).toEqual(trace.position.time_s);
    for (const [i, force_N] of trace.force.force_N.entries()) expect(back.force.force_N[i]).toBe(force_N);
    for (const [i, m] of trace.position.position_m.entries()) expect(back.position.position_m[i]).toBe(m);
    await expect(writeTraceCsv(path, trace)).rejects.toMatchObject({ code: 'file-exists' });
    await expect(writeTraceCsv(join(folder, 'no/run.csv'), trace)).rejects.toMatchObject({
      code: 'file-unwritable',
    });
    expect(existsSync(join(folder, 'no'))).toBe(false);
  });

  it('puts samples of one instant into one row', () => {
    const text = [
      ...traceCsv({
        force: { time_s: Float64Array.of(0, 0.5, 1), force_N: Float64Array.of(1, -2, 3) },
        position: { time_s: Float64Array.of(0, 1, 1.5), position_m: Float64Array.of(0.01, 0.0123, 0) },
        temperature: { time_s: Float64Array.of(0.5), temperature_degC: Float64Array.of(21.25) },
      }),
    ].join('');
    expect(text).toBe(
      'time_s,displacement_mm,force_N,temperature_degC\n0,10,1,\n0.5,,-2,21.25\n1,12.3,3,\n1.5,0,,\n',
    );
  });

  it('never prints one instant twice, though the channels differ in the last digits', () => {
    const trace = {
      force: { time_s: Float64Array.of(1.395026), force_N: Float64Array.of(1) },
      position: { time_s: Float64Array.of(1.3950260000000003), position_m: Float64Array.of(0.01) },
    };
    const rows = (digits?: number) => [...traceCsv(trace, digits)].join('').trim().split('\n').slice(1);
    expect(rows(12)).toEqual(['1.395026,10,1']);
    expect(rows()).toEqual(['1.395026,,1', '1.3950260000000003,10,']);
  });

  it('is imported with every float64 as the file had it', async () => {
    const { trace } = await readTraceCsv({
      name: 'x.csv',
      bytes: new TextEncoder().encode(
        'time_s,displacement_mm,force_N\n0.1,1,0.3\n0.30000000000000004,,1e-7\n',
      ),
    });
    const shock = logbook.createShock({ name: 's' });
    const build = logbook.createBuild({ shockId: shock.id, name: 'b' });
    const id = logbook.importRecording(
      {
        buildId: build.id,
        procedure: { name: 'unknown', steps: [], duration_s: null, happened: [], events: [] },
        startedAt: '2026-01-01T00:00:00.000Z',
      },
      importedChannels(trace),
    );
    const { force, position } = logbook.readRecording(id).trace;
    expect(force).toEqual(trace.force);
    expect(position).toEqual(trace.position);
  });
});
