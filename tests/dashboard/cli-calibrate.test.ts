import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openLogbook, openRigLink, recordBuild, speedLadder } from '../../daq/index.js';
import { ownedRig, simulatedRig, simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-calibrate-'));
const at = (name: string) => join(folder, name);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Three runs over known masses on a cell of 20 000 counts a newton, at 9.81 m/s². */
function loadsCsv(perNewton: number): string {
  const masses_g = [0, 100, 200, 500, 800, 1000, 800, 500, 200, 100, 0];
  const rows = [1, 2, 3].flatMap((run) =>
    masses_g.map((mass_g, i) => {
      const counts = 41_000 + perNewton * (mass_g / 1000) * 9.81 * (1 - 1.2 / 8000) + ((i * run * 7) % 5) - 2;
      return `${mass_g};${String(counts).replace('.', ',')};${run}`;
    }),
  );
  return ['mass_g;reading_counts;run_number', ...rows, ''].join('\n');
}
const lengthsCsv = [
  'length_mm,reading_counts',
  ...[0, 5, 10, 15, 20, 15, 10, 5, 0].map((mm) => `${mm},${4000 + mm * 272.8}`),
  '',
].join('\n');

describe('calibrate from readings that were taken already', () => {
  const logbook = ['--logbook', at('files.sqlite')];
  const force = (...more: string[]) =>
    runCli([
      'calibrate',
      'force',
      '--loads',
      at('loads.csv'),
      '--rig',
      'bench',
      '--gravity',
      '9,81',
      ...more,
    ]);
  beforeAll(() => {
    writeFileSync(at('loads.csv'), loadsCsv(20_000));
    writeFileSync(at('lengths.csv'), lengthsCsv);
  });

  it('enters nothing in a dry run, and makes no logbook', async () => {
    const { status, stdout } = await force('--dry-run', ...logbook);
    expect(status).toBe(0);
    expect(stdout).toMatch(/^1000 counts are 50\.00 ± 0\.10 mN; a straight line holds\.\nA dry run/);
    expect(existsSync(logbook[1]!)).toBe(false);
  });

  it('keeps force until position is there too, then makes a version of each', async () => {
    const first = await force('--json', ...logbook);
    expect(first).toMatchObject({ status: 0, stderr: '' });
    const document = JSON.parse(first.stdout);
    expect(document).toMatchObject({ rig: 'bench', part: 'force', version: null, missing: ['position'] });
    expect(document.value.newton_per_count * 20_000).toBeCloseTo(1, 4);
    expect(document.evidence.calibration.errors.zero_percent).toBeTypeOf('number');

    const position = await runCli(['calibrate', 'position', '--readings', at('lengths.csv'), ...logbook]);
    expect(position).toMatchObject({ status: 0, stderr: '' });
    expect(position.stdout).toContain("Entered as calibration 1 of rig 'bench'");
    const again = JSON.parse((await force('--json', '--note', 'new hook', ...logbook)).stdout);
    expect(again.version).toBe(2);
    const shown = await runCli(['calibrate', 'show', ...logbook, '--json']);
    const { calibrations, parts } = JSON.parse(shown.stdout);
    expect(calibrations.map(({ version }: { version: number }) => version)).toEqual([2, 1]);
    expect(parts).toHaveLength(3);
  });

  it('finds position by the geometry of a crank', async () => {
    const [radius, rod] = [12, 60];
    const rows = Array.from({ length: 9 }, (_, i) => {
      const angle = (2 * Math.PI * (i * 430 - 613)) / 4096;
      const mm =
        radius + rod - radius * Math.cos(angle) - Math.sqrt(rod ** 2 - (radius * Math.sin(angle)) ** 2);
      return `${mm.toFixed(3)},${i * 430}`;
    });
    writeFileSync(at('crank.csv'), ['length_mm,reading_counts', ...rows, ''].join('\n'));
    const options = ['--radius', '11.5', '--rod', '60', '--counts-per-turn', '4096', '--dry-run', '--json'];
    const angle = ['calibrate', 'angle', '--readings', at('crank.csv'), ...options, ...logbook];
    const { status, stdout } = await runCli(angle);
    expect(status).toBe(0);
    const { value } = JSON.parse(stdout);
    expect(value.crank.radius_m).toBeCloseTo(0.012, 5);
    expect(value.zero_counts).toBeCloseTo(613, 0);
  });

  it.each([
    [['force', '--loads', at('gone.csv'), '--rig', 'x'], /gone\.csv/],
    [['force', '--rig', 'x', '--port', 'simulated-rig'], /nothing to hang/],
    [['force', '--masses', '300,200', '--port', 'simulated-rig'], /--masses 300,200.*increasing/],
    [['force', '--masses', '100,200', '--port', 'simulated-rig'], /2 of them; wanted at least 5/],
    [
      ['force', '--masses', '1,2,3,4,50000', '--capacity', '98', '--port', 'simulated-rig'],
      /50 kg.*cell's 98 N/,
    ],
    [['position', '--readings', at('loads.csv'), '--rig', 'x'], /length_mm/],
    [['lag'], /no --port/],
    [['lag', 'recording:7'], /no such logbook/],
  ])('refuses %j in one line, entering nothing', async (args, says) => {
    const fresh = at(`fresh-${args.length}.sqlite`);
    const { status, stdout, stderr } = await runCli(['calibrate', ...args, '--logbook', fresh]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr).at(-1)).toMatch(says);
    expect(existsSync(fresh)).toBe(false);
  });

  it('says which line of a file is wrong', async () => {
    writeFileSync(at('bad.csv'), 'mass_g,reading_counts\n0,41000\n100,x\n');
    const { status, stderr } = await runCli(['calibrate', 'force', '--loads', at('bad.csv'), '--rig', 'x']);
    expect(status).toBe(2);
    expect(stderr).toMatch(/bad\.csv, line 3, column reading_counts/);
  });
});

describe('a rig from its box to its first checked sitting, on the simulated rig', () => {
  const path = at('rig.sqlite');
  const cli = (...args: string[]) =>
    runCli([...args, '--port', 'simulated-rig', '--logbook', path, '--json']);
  const truth = ownedRig(1);

  it('is set up: signs, zeros and limits', async () => {
    const { status, stdout, stderr } = await cli(
      'setup',
      '--capacity',
      '98',
      '--stroke',
      '24',
      '--latitude',
      '52',
    );
    expect(status).toBe(0);
    expect(stderr).toMatch(/never over a foot/);
    expect(JSON.parse(stdout)).toMatchObject({
      rig: 'simulated rig',
      version: 1,
      profile: { forceSign: 1, positionSign: 1, cellCapacity_N: 98, temperature: 'sensor' },
    });
    const { profile } = JSON.parse(stdout);
    expect(Math.abs(profile.forceZero_counts - truth.cell.zero_counts)).toBeLessThan(2000);
    expect(profile.forceLimit_N).toBeCloseTo(58.8, 9);
  });

  it('is calibrated in force, position, lag and moving mass', async () => {
    const masses = '100,200,500,800,1000';
    const force = JSON.parse(
      (await cli('calibrate', 'force', '--masses', masses, '--runs', '2', '--gravity', '9.8118')).stdout,
    );
    const scale = force.value.newton_per_count * truth.cell.counts_per_N;
    expect(Math.abs(scale - 1)).toBeLessThan(
      (3 * force.value.standardUncertainty_newton_per_count) / force.value.newton_per_count,
    );
    const position = JSON.parse((await cli('calibrate', 'position', '--lengths', '5,10,15,20')).stdout);
    expect(position).toMatchObject({ version: 1, missing: [] });
    expect(position.value.metre_per_count * truth.position.counts_per_m).toBeCloseTo(1, 2);
    const lag = JSON.parse((await cli('calibrate', 'lag')).stdout);
    expect(lag.version).toBe(2);
    expect(Math.abs(lag.value.value_s - truth.cell.lowPass_s)).toBeLessThan(1e-4);
    const mass = JSON.parse((await cli('calibrate', 'mass')).stdout);
    expect(mass.value.value_kg).toBeCloseTo(0.0092, 3);
  }, 90_000);

  it('keeps the calibration in force with a recording, and applies a newer one on request', async () => {
    const analyze = (...more: string[]) =>
      runCli(['analyze', 'recording:1', '--logbook', path, '--json', ...more]);
    const logbook = openLogbook(path);
    const rigId = logbook.findRig('simulated rig')!;
    const inForce = logbook.calibrationInForce(rigId)!;
    const { force, position } = inForce.calibration;
    const doubled = { ...force, newton_per_count: 2 * force.newton_per_count };
    logbook.addCalibration(rigId, { ...inForce.calibration, force: doubled, position });
    logbook.close();
    const rate = async (...more: string[]) => {
      const { status, stdout } = await analyze(...more);
      expect(status).toBe(0);
      return JSON.parse(stdout).gas.rate_N_per_mm.value as number;
    };
    const own = await rate();
    expect(own).toBeCloseTo(0.87, 2);
    expect((await rate('--calibration', 'latest')) / own).toBeCloseTo(2, 3);
    const refused = await analyze('--calibration', '77');
    expect(refused.status).toBe(2);
    expect(refused.stderr).toMatch(/version 77.*one of 1, 2/);
    // The doubled one is not to stay in force.
    const after = openLogbook(path);
    after.addCalibration(rigId, inForce.calibration);
    after.close();
  }, 60_000);

  it('learns from its check standard, then holds it against its history', async () => {
    const first = JSON.parse((await cli('check')).stdout);
    expect(first).toMatchObject({
      verdict: 'learning',
      quantities: [{ sittingsToGo: 3 }, { sittingsToGo: 3 }],
    });
    const rate = first.quantities[0].newest as number;
    const drag = first.quantities[1].newest as number;
    expect(rate).toBeCloseTo(0.64, 2);
    // 0.85 N, give or take the 2 % of a mounting.
    expect(drag).toBeCloseTo(0.86, 1);

    // Eight earlier sittings, a day apart, as this rig would have given them.
    sittingsBefore(path, rate, drag);
    const steady = await cli('check');
    expect(steady.status).toBe(0);
    const judged = JSON.parse(steady.stdout);
    expect(judged.verdict).toBe('steady');
    expect(judged.remountSpread).toContainEqual(
      expect.objectContaining({ quantity: 'friction_N', rigShareOnly: true }),
    );

    // A cell that lost 5 % of its answer, as after an overload: the same counts mean less.
    const logbook = openLogbook(path);
    const rigId = logbook.findRig('simulated rig')!;
    const { calibration } = logbook.calibrationInForce(rigId)!;
    const newton_per_count = 0.95 * calibration.force.newton_per_count;
    logbook.addCalibration(rigId, { ...calibration, force: { ...calibration.force, newton_per_count } });
    logbook.close();
    const outside = await runCli(['check', '--port', 'simulated-rig', '--logbook', path]);
    expect(outside.status).toBe(1);
    expect(outside.stdout).toMatch(/^Do not measure shocks yet: .*spring\s+rate/s);
  }, 90_000);

  it('records an invented shock, marked as simulated, each time mounted anew', async () => {
    const seal = ['--build', 'new seal', '--plays', 'low-drag-seal', '--seconds', '1'];
    const first = await cli('record', ...seal, '--shock', 'invented');
    expect(first).toMatchObject({ status: 0, stderr: expect.stringMatching(/Do not measure shocks yet/) });
    expect((await cli('record', ...seal)).status).toBe(0);
    const logbook = openLogbook(path, { readOnly: true });
    const recordings = logbook.listRecordings({ buildId: logbook.findBuild('new seal')!.id });
    const forces = recordings.map(({ id }) => logbook.readRecording(id).trace.force.force_N.slice(0, 50));
    logbook.close();
    expect(recordings).toMatchObject([
      { remount: 1, simulated: true, state: 'complete' },
      { remount: 2, simulated: true, state: 'complete' },
    ]);
    expect([...forces[0]!]).not.toEqual([...forces[1]!]);
    const unknown = await cli('record', '--build', 'x', '--plays', 'nothing');
    expect(unknown).toMatchObject({ status: 2, stderr: expect.stringMatching(/one of draggy-seal, /) });
  });

  it('takes the remounts of a build into its long-run spread', async () => {
    const shocks = at('shocks.sqlite');
    await twoRemounts(shocks);
    const learnt = await runCli(['check', '--learn', 'draggy', '--logbook', shocks, '--json']);
    expect(learnt).toMatchObject({ status: 0, stderr: '' });
    expect(JSON.parse(learnt.stdout).remountSpread).toContainEqual(
      expect.objectContaining({ quantity: 'friction_N', degreesOfFreedom: 1, rigShareOnly: false }),
    );
  }, 60_000);

  it('is left alone by Ctrl-C: nothing is entered', async () => {
    const { spawn } = await import('node:child_process');
    const { cliPath, finished } = await import('./run-cli.js');
    const before = readFileSync(path).length;
    const masses = ['--masses', '100,200,300,400,500', '--runs', '50', '--gravity', '9.81'];
    const args = ['calibrate', 'force', '--port', 'simulated-rig', ...masses, '--logbook', path];
    const child = spawn(process.execPath, [cliPath, ...args]);
    child.stderr.once('data', () => setTimeout(() => child.kill('SIGINT'), 1000));
    const { status, stdout, stderr } = await finished(child);
    expect({ status, stdout }).toEqual({ status: 130, stdout: '' });
    expect(stderr).toMatch(/Left before its end; nothing was entered/);
    expect(readFileSync(path).length).toBe(before);
  }, 30_000);
});

/** Puts earlier measurements of the check standard into a logbook, and begins its history with them. */
function sittingsBefore(path: string, rate: number, drag: number): void {
  const day = (n: number) => new Date(Date.UTC(2026, 0, 1 + n)).toISOString();
  const logbook = openLogbook(path, { now: () => day(0) });
  const rigId = logbook.findRig('simulated rig')!;
  const { buildId } = logbook.checkStandardOf(rigId)!;
  const calibrationId = logbook.calibrationInForce(rigId)!.id;
  logbook.setCheckStandard(rigId, buildId);
  for (let n = 1; n <= 8; n++) {
    const id = logbook.startRecording({
      buildId,
      rigId,
      calibrationId,
      procedure: { name: 'slow-sweep', steps: [], duration_s: 1, happened: [], events: [] },
      startedAt: day(n),
      identity: null,
      simulated: true,
    });
    logbook.finishRecording(id, { state: 'complete' });
    const off = 0.004 * Math.sin(2.4 * n);
    logbook.enterResults(id, calibrationId, [
      { quantity: 'rate_N_per_mm', value: rate * (1 + off / 4), standardError: 1e-4 },
      { quantity: 'friction_N', value: drag * (1 + 5 * off), standardError: 1e-3 },
    ]);
  }
  logbook.close();
}

/** Records one build of the simulated rig in two mountings. */
async function twoRemounts(path: string): Promise<void> {
  const rig = simulatedRig({ seed: 3, build: 'draggy-seal', pace: 'simulated' });
  const link = await openRigLink({ path: rig.path, binding: rig.binding, clock: rig.clock });
  const logbook = openLogbook(path);
  logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration);
  const { id: shockId } = logbook.createShock({ name: 'invented' });
  const { id: buildId } = logbook.createBuild({ shockId, name: 'draggy' });
  const steps = [0.31, 0.83, 1.9].map((speed) => ({ speed_rev_per_s: speed, duration_s: 1 + 3 / speed }));
  for (const mounting of [1, 2]) {
    rig.mount('draggy-seal', mounting);
    await recordBuild({ link, logbook, buildId, procedure: speedLadder(steps) });
  }
  logbook.close();
  await link.close();
}
