import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { addPlanHoles } from '../../dashboard/cli/plan-holes.js';
import { holePlanShape } from './plan-shapes.js';
import { linesOf, runCli } from './run-cli.js';
import { runCommand } from './run-command.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-plan-holes-'));
const at = (name: string) => join(folder, name);
const nowhere = ['--logbook', at('never-made.sqlite')];
const sample = (name: string) => join('sample-data', name);
/** The sample recordings are of a stock piston; the target is the same piston's with four holes of 1.6 mm. */
const truth_mm = 1.6;
const have = sample('low-drag-seal-1.csv');
const want = sample('target.csv');
const stock = JSON.parse(readFileSync(sample('piston.json'), 'utf8')) as Record<string, number>;
const pistonFile = (name: string, change: object) => {
  writeFileSync(at(name), JSON.stringify({ ...stock, ...change }));
  return at(name);
};
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('plan-holes --json', () => {
  const planned = async (...args: string[]) => {
    const all = ['plan-holes', '--have', have, ...args, ...nowhere, '--json'];
    const { status, stdout, stderr } = await runCommand(addPlanHoles, all);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(linesOf(stdout)).toHaveLength(1);
    return holePlanShape.parse(JSON.parse(stdout));
  };

  it('finds the drilled hole within 0.01 mm, and the drill that stays below it', async () => {
    const plan = await planned('--want', want, '--piston', sample('piston.json'), '--drills', 'metric');
    expect(Math.abs(plan.hole_mm.value - truth_mm)).toBeLessThan(0.01);
    expect(plan.hole_mm.low95).toBeLessThan(truth_mm);
    expect(plan.hole_mm.high95).toBeGreaterThan(truth_mm);
    expect(plan.advice).toBe('drill');
    expect(plan.drills[0]!.role).toBe('first');
    expect(plan.drills[0]!.diameter_mm).toBeLessThanOrEqual(plan.hole_mm.value);
    expect(plan.drills[0]!.bringsBack).toBeNull();
    expect(plan.drills.at(-1)!.diameter_mm).toBeGreaterThan(plan.hole_mm.value);
    expect(plan.drills.at(-1)!.bringsBack!.viscosityRatio.value).toBeGreaterThan(1.02);
  });

  it('takes piston, drills and the next oil from a shelf', async () => {
    const piston = ['--piston', 'shelf:stock piston (invented)', '--shelf', sample('shelf.json')];
    const plan = await planned('--want', want, ...piston, '--new-oil', 'invented oil 400 cSt');
    expect(plan.chosen).toMatchObject({ viscosity_cSt: expect.closeTo(400, 6) });
    expect(plan.hole_mm.value).toBeGreaterThan(truth_mm + 0.02);
    expect(plan.drills[0]).toMatchObject({ owned: true, role: 'first' });
  });
});

describe('plan-holes for a person', () => {
  it('says what to do, shows the drills, warns, and names the next command, within 80 columns', async () => {
    const { status, stdout, stderr } = await runCli([
      ...['plan-holes', '--have', have, '--want', want, '--piston', sample('piston.json'), ...nowhere],
    ]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toMatch(/^Bring all four holes to 1\.\d+ ± 0\.0\d+ mm\. Take the \S+.* drill first/);
    expect(stdout).toMatch(/a hole\s+does not\s+shrink again/);
    expect(stdout).toMatch(/\nDrill +mm /);
    expect(stdout).toContain('▲ Clamp the piston in a vise');
    expect(stdout).toMatch(/\nNext: dashpot-bench match /);
    expect(stdout).not.toMatch(/NaN|undefined/);
    for (const line of linesOf(stdout)) expect([...line].length, line).toBeLessThanOrEqual(80);
  });
});

describe('plan-holes refuses', () => {
  it.each([
    [
      'holes that overlap',
      { holes: 12, hole_mm: 2.7 },
      /bad\.json: holes that take \d+ % of the widest ring/,
    ],
    ['a hole that does not fit', { holes: 1, hole_mm: 5 }, /bad\.json: a hole of 5 mm; wanted less than/],
    ['a gap wider than the wall', { gap_mm: 0.8 }, /bad\.json: a gap of 0\.8 mm; wanted above 0 and below/],
    ['a negative thickness', { thickness_mm: -2 }, /bad\.json, key thickness_mm: found -2/],
    ['a shaft as wide as the bore', { rod_mm: 12.7 }, /bad\.json, key rod_mm: found 12\.7/],
    [
      'a countersink through the piston',
      { countersunk_mm: 3 },
      /bad\.json: 3 mm; wanted from 0 to below the thickness/,
    ],
    ['half a hole', { holes: 2.5 }, /key holes: found 2\.5; wanted a whole number/],
    [
      'other holes without a size',
      { more_holes: [{ holes: 1 }] },
      /key more_holes\.0\.hole_mm: found nothing/,
    ],
  ])('%s, naming file, found and wanted, with exit status 2', async (_name, change, says) => {
    const args = ['--have', have, '--want', want, '--piston', pistonFile('bad.json', change), ...nowhere];
    const { status, stdout, stderr } = await runCommand(addPlanHoles, ['plan-holes', ...args]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });

  it.each([
    [
      'a target that no hole reaches',
      ['--want', 'points:100=0.001,-100=-0.001'],
      /no hole in this piston reaches/,
    ],
    [
      'a set of drills that is none',
      ['--want', want, '--drills', 'letters'],
      /--drills letters; wanted number, metric/,
    ],
    [
      'both ways to drill at once',
      ['--want', want, '--add', '1', '--some', '2'],
      /--add and --some; wanted one of them/,
    ],
  ])('%s', async (_name, args, says) => {
    const piston = ['--piston', sample('piston.json'), ...nowhere];
    const { status, stdout, stderr } = await runCommand(addPlanHoles, [
      'plan-holes',
      '--have',
      have,
      ...args,
      ...piston,
    ]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});
