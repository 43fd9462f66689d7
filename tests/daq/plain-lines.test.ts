import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parsePlainForm, readPlainLine } from '../../daq/link/plain-line.js';
import { openPlainLink } from '../../daq/link/plain-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { capture } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { scriptedRig } from './scripted-rig.js';

const form = parsePlainForm('time_us,force,position');

describe('the form of plain lines', () => {
  it('names every cell, in any order, with decimals and cells that are nothing', () => {
    expect(parsePlainForm(' position:2, -,time_ms,force:3,temperature:1').cells).toEqual([
      { is: 'sample', kind: 'position', decimals: 2 },
      { is: 'nothing' },
      { is: 'time', us_per_unit: 1000 },
      { is: 'sample', kind: 'force', decimals: 3 },
      { is: 'sample', kind: 'temperature', decimals: 1 },
    ]);
  });

  it('is refused when a cell is unknown, missing or named twice', () => {
    for (const text of [
      '',
      'time_us,force',
      'time_us,force,force,position',
      'time_s,force,position',
      'force:9,position,time_us',
    ])
      expect(() => parsePlainForm(text)).toThrow(/--plain: found .*; wanted .*time_us,force,position/);
  });
});

describe('a plain line', () => {
  it('is read whatever parts its cells', () => {
    const wanted = {
      deviceTime_us: 1500,
      samples: [
        { kind: 'force', counts: -20_417 },
        { kind: 'position', counts: 8191 },
      ],
    };
    for (const text of [
      '1500,-20417,8191',
      ' 1500 ; -20417;8191\r',
      '1500\t-20417\t+8191',
      '1500  -20417 8191.0',
    ])
      expect(readPlainLine(text, form)).toEqual(wanted);
  });

  it('keeps decimals as counts of the last place, temperatures in thousandths', () => {
    const decimals = parsePlainForm('time_ms,force:3,position:1,temperature:2');
    expect(readPlainLine('4294968,-1.25,20.5,23.75', decimals)).toEqual({
      deviceTime_us: 4_294_968_000 % 2 ** 32,
      samples: [
        { kind: 'force', counts: -1250 },
        { kind: 'position', counts: 205 },
        { kind: 'temperature', counts: 23_750 },
      ],
    });
  });

  it('is refused with a cell too few or too many, with text in it, with more decimals than were said, or out of range', () => {
    for (const text of [
      '',
      '1,2',
      '1,2,3,4',
      'a,2,3',
      '1,2.5,3',
      '1,,3',
      '-1,2,3',
      '1,9999999999,3',
      '1,2e3,4',
      '1,0x10,3',
    ])
      expect(readPlainLine(text, form)).toBeNull();
  });

  it('comes back as it was written, and nothing makes reading it throw', () => {
    const counts = fc.integer({ min: -(2 ** 31) + 1, max: 2 ** 31 - 1 });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2 ** 32 - 1 }), counts, counts, (time, force, position) => {
        expect(readPlainLine(`${time},${force},${position}`, form)).toEqual({
          deviceTime_us: time,
          samples: [
            { kind: 'force', counts: force },
            { kind: 'position', counts: position },
          ],
        });
      }),
      { seed: 1 },
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (text) => {
        const line = readPlainLine(text, form);
        expect(line === null || line.samples.length === 2).toBe(true);
      }),
      { seed: 2, numRuns: 1000 },
    );
  });
});

describe('a rig that sends plain lines', () => {
  let folder: string;
  let logbook: Logbook;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'plain-'));
    logbook = openLogbook(join(folder, 'log.db'));
  });
  afterEach(() => {
    logbook.close();
    rmSync(folder, { recursive: true });
  });

  /** A port on which lines come every 5 ms, as `line` makes them of the device's time and their number. */
  function plainRig(line: (time_us: number, n: number) => string | null) {
    const rig = scriptedRig();
    let n = 0;
    const tick = () => {
      const text = line(4_294_000_000 + 5000 * n, n++);
      if (text !== null) rig.sendBytes(`${text}\n`);
      rig.clock.after(5, tick);
    };
    rig.sendBytes('7,half of a li');
    rig.clock.after(5, tick);
    return rig;
  }
  const wrapped = (time_us: number) => time_us % 2 ** 32;
  const usual = (time_us: number, n: number) => `${wrapped(time_us)},${n % 50},${1000 + n}`;

  async function record(rig: ReturnType<typeof scriptedRig>, seconds: number) {
    const link = await openPlainLink({ ...rig, form, rigName: 'own firmware' });
    logbook.addCalibration(logbook.rigNamed('own firmware'), {
      force: { newton_per_count: 0.01, zero_counts: 0 },
      position: { metre_per_count: 1e-6, zero_counts: 0 },
    });
    const shock = logbook.createShock({ name: 'test piece' });
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'as found' });
    const outcome = await recordBuild({ link, logbook, buildId, procedure: capture('unknown', seconds) });
    await link.close();
    return { outcome, reading: logbook.readRecording(outcome.recordingId) };
  }

  it('is recorded on its own times, through their wrap, and marked as unchecked', async () => {
    const { outcome, reading } = await record(plainRig(usual), 3);
    expect(outcome).toMatchObject({ state: 'complete' });
    expect(outcome.samples.force).toBe(outcome.samples.position);
    expect(outcome.samples.force).toBeGreaterThanOrEqual(601);
    expect(reading.recording.identity).toMatchObject({
      unchecked: true,
      firmware: 'plain lines',
      drive: null,
    });
    expect(reading.trace.rig).toMatchObject({ linesUnchecked: true });
    const { time_s } = reading.trace.force;
    expect(time_s.at(-1)! - time_s[0]!).toBeCloseTo(0.005 * (time_s.length - 1), 9);
    expect(reading.trace.position.position_m[1]! - reading.trace.position.position_m[0]!).toBeCloseTo(
      1e-6,
      12,
    );
  });

  it('loses a line whose time leaps and goes on, and counts lines that are none', async () => {
    const rig = plainRig((time_us, n) => {
      if (n === 100) return usual(time_us + 900_000_000, n);
      if (n === 150) return 'ready';
      if (n === 200) return `${wrapped(time_us)},5`;
      return usual(time_us, n);
    });
    const { outcome, reading } = await record(rig, 2);
    expect(outcome).toMatchObject({ state: 'complete', failure: null });
    expect(outcome.statistics.linesSkipped).toEqual({ malformed: 3 });
    const { time_s } = reading.trace.force;
    expect(time_s.at(-1)! - time_s[0]!).toBeLessThan(2.1);
  });

  it('ends a recording honestly when its clock begins anew', async () => {
    const anew = await record(
      plainRig((time_us, n) => usual(n < 300 ? time_us + 100_000_000 : 5000 * n, n)),
      10,
    );
    expect(anew.outcome).toMatchObject({ state: 'interrupted', failure: { code: 'rig-restarted' } });
  });

  it('that goes silent is told so', async () => {
    const { outcome } = await record(
      plainRig((time_us, n) => (n < 300 ? usual(time_us, n) : null)),
      10,
    );
    expect(outcome).toMatchObject({ state: 'interrupted', failure: { code: 'rig-silent' } });
  });

  it('is not taken for one when its lines have another form, and one of them is shown', async () => {
    const open = openPlainLink({ ...plainRig((t, n) => `${t} F=${n}`), form, rigName: 'x' });
    await expect(open).rejects.toThrow(/0 lines of the form given in 3 s, and such as '4\d+ F=\d+'/);
    const silent = openPlainLink({ ...scriptedRig(), form, rigName: 'x' });
    await expect(silent).rejects.toMatchObject({ code: 'rig-silent' });
  });
});
