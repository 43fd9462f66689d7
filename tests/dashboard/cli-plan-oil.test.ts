import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addPlanOil } from '../../dashboard/cli/plan-oil.js';
import { ladderCsv } from './ladder-csv.js';
import { oilPlanShape } from './plan-shapes.js';
import { linesOf, runCli } from './run-cli.js';
import { runCommand } from './run-command.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-plan-oil-'));
const at = (name: string) => join(folder, name);
const nowhere = ['--logbook', at('never-made.sqlite')];
const [old, thicker, smooth] = ['old.csv', 'thicker.csv', 'smooth.csv'].map(at) as [string, string, string];
const shelf = ['--shelf', at('shelf.json')];

beforeAll(() => {
  writeFileSync(old, ladderCsv({ seed: 1, drag_N: 1.2, damping_Ns_per_m: 22, duration_s: 12 }));
  writeFileSync(thicker, ladderCsv({ seed: 2, drag_N: 1.2, damping_Ns_per_m: 22 * 1.25, duration_s: 12 }));
  writeFileSync(smooth, ladderCsv({ seed: 3, drag_N: 0.6, damping_Ns_per_m: 22, duration_s: 12 }));
  const oils = [250, 300, 375, 500].map((oil_cSt) => ({ name: `bottle ${oil_cSt}`, oil_cSt }));
  writeFileSync(at('shelf.json'), JSON.stringify({ oils }));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('plan-oil --json', () => {
  it('finds the ratio of two recordings and the bottle that has it', async () => {
    const args = ['--have', old, '--want', thicker, '--oil-cst', '300', ...shelf, ...nowhere, '--json'];
    const { status, stdout, stderr } = await runCli(['plan-oil', ...args]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(linesOf(stdout)).toHaveLength(1);
    const plan = oilPlanShape.parse(JSON.parse(stdout));
    expect(Math.abs(plan.viscosityRatio.value / 1.25 - 1)).toBeLessThan(0.02);
    expect(plan.advice).toBe('shelf-oil');
    expect(plan.shelf[0]!.label).toBe('bottle 375');
  });

  it('brings the former total force back with --restore, faster than --from where that is said', async () => {
    const args = ['--restore', '--have', smooth, '--want', old, '--oil-cst', '300', ...shelf, ...nowhere];
    const asked = async (...more: string[]) => {
      const { stdout } = await runCli(['plan-oil', ...args, ...more, '--json']);
      return oilPlanShape.parse(JSON.parse(stdout));
    };
    const [all, fast] = [await asked(), await asked('--from', '150')];
    expect(all.restores).toBe('total');
    expect(all.viscosityRatio.low95).toBeGreaterThan(1.05);
    expect(all.total!.notRestoredBelow_m_per_s.compression).toBeGreaterThan(0.02);
    expect(fast.viscosityRatio.value).toBeLessThan(all.viscosityRatio.value);
  });

  it('knows the present oil from the build in the logbook, and builds as target', async () => {
    const logbook = ['--logbook', at('logbook.sqlite')];
    const bring = (file: string, ...options: string[]) =>
      runCli(['import', file, '--shock', 'rear left', ...options, ...logbook]);
    expect(await bring(old, '--build', 'thin', '--oil', 'bottle 300', '--oil-cst', '300')).toMatchObject({
      status: 0,
    });
    expect(await bring(thicker, '--build', 'thick', '--parent', 'thin')).toMatchObject({ status: 0 });
    const args = [
      'plan-oil',
      '--have',
      'build:thin',
      '--want',
      'build:thick',
      ...shelf,
      ...logbook,
      '--json',
    ];
    const plan = oilPlanShape.parse(JSON.parse((await runCli(args)).stdout));
    expect(plan.present).toMatchObject({ label: 'bottle 300', viscosity_cSt: expect.closeTo(300, 6) });
    expect(plan.shelf[0]!.label).toBe('bottle 375');
  });

  it('marks wanted speeds that were not measured', async () => {
    const args = [
      '--have',
      old,
      '--want',
      'points:300=5,-300=-5',
      '--oil',
      'bottle 300',
      ...shelf,
      ...nowhere,
    ];
    const { stdout } = await runCommand(addPlanOil, ['plan-oil', ...args, '--json']);
    expect(oilPlanShape.parse(JSON.parse(stdout))).toMatchObject({
      extrapolated: true,
      temperatureAssumed: true,
      present: { label: 'bottle 300' },
    });
  });
});

describe('plan-oil for a person', () => {
  it('says what to take, why, and what next, within 80 columns', async () => {
    const args = ['--have', old, '--want', thicker, '--oil-cst', '300', ...shelf, ...nowhere];
    const { status, stdout, stderr } = await runCli(['plan-oil', ...args]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toMatch(/^Take 'bottle 375' \(375 cSt\): it reaches the target within the\s/);
    expect(stdout).toMatch(/\nOil +cSt +Times wanted/);
    expect(stdout).toMatch(/\nNext: dashpot-bench match /);
    expect(stdout).not.toMatch(/NaN|undefined/);
    for (const line of linesOf(stdout.replaceAll(`${folder}/`, '')))
      expect([...line].length, line).toBeLessThanOrEqual(80);
  });
});

describe('plan-oil refuses', () => {
  it.each([
    [
      'a shelf that is none',
      ['--want', thicker, '--shelf', at('no-shelf.json')],
      /no-shelf\.json, key oils\.0/,
    ],
    [
      'an oil measured against nothing',
      ['--want', thicker, '--shelf', at('lost.json')],
      /measured against 'gone'; wanted/,
    ],
    [
      'a total to restore from a written curve',
      ['--restore', '--want', 'points:100=3'],
      /recordings of the former build/,
    ],
    ['--from without --restore', ['--want', thicker, '--from', '100'], /--restore/],
    [
      'a viscosity of nothing',
      ['--want', thicker, '--oil-cst', '0'],
      /--oil-cst 0; wanted a number above zero/,
    ],
    [
      'a viscosity beyond all oils',
      ['--want', thicker, '--oil-cst', '1e9'],
      /wanted between 0 and 200 000 cSt/,
    ],
    ['a build without a logbook', ['--want', 'build:gone'], /never-made\.sqlite.*no such file/],
  ])('%s: one line, exit status 2, nothing on stdout, no logbook made', async (_name, args, says) => {
    writeFileSync(at('no-shelf.json'), '{"oils": [{"name": "30 wt"}]}');
    const lost = { name: 'x', measured: { against: 'gone', ratio: 1.1, standardError: 0.01 } };
    writeFileSync(at('lost.json'), JSON.stringify({ oils: [lost] }));
    const { status, stdout, stderr } = await runCommand(addPlanOil, [
      'plan-oil',
      '--have',
      old,
      ...args,
      ...nowhere,
    ]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
    expect(existsSync(nowhere[1]!)).toBe(false);
  });
});
