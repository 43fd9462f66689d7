import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { linesOf, runCli } from './run-cli.js';
import { pullCsv } from './slow-csv.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-travel-'));
const [hard, soft, free] = ['hard', 'soft', 'free'].map((name) => join(folder, `${name}.csv`)) as [
  string,
  string,
  string,
];
/** A shock's gas, with a stop in the file's own coordinate, which begins at 4 mm. */
const gas = { rate_N_per_m: 40, preload_N: 0.6 };
const stop = (at_mm: number, stiffness_N_per_m: number) => (force_N: number, position_m: number) =>
  force_N + stiffness_N_per_m * Math.max(0, position_m - at_mm * 1e-3);

beforeAll(() => {
  writeFileSync(hard, pullCsv(gas, undefined, stop(21.8, 120e3)));
  writeFileSync(soft, pullCsv(gas, undefined, stop(19.5, 6e3)));
  writeFileSync(free, pullCsv(gas));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('travel --json', () => {
  it.each([
    [hard, 'hard', 21.8, 0.03],
    [soft, 'soft', 19.5, 0.1],
  ] as const)('%s: a %s contact in the file’s own coordinate', async (file, kind, at_mm, within_mm) => {
    const { status, stdout, stderr } = await runCli(['travel', file, '--json']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const { travel_mm, contact } = JSON.parse(stdout);
    expect(contact.kind).toBe(kind);
    expect(Math.abs(contact.position_mm.value - at_mm)).toBeLessThan(within_mm);
    expect(Math.abs(travel_mm.value - (at_mm - 4))).toBeLessThan(within_mm + 0.03);
  });

  it('has no contact where nothing was touched, and says that the travel is at least that', async () => {
    const { stdout } = await runCli(['travel', free, '--json']);
    const { travel_mm, contact, atLeast } = JSON.parse(stdout);
    expect(contact).toBeNull();
    expect(atLeast).toBe(true);
    expect(travel_mm.value).toBeCloseTo(18, 1);
  });

  it('counts spacers and says what touches first', async () => {
    const args = '--standing-mm 8 --under-piston-mm 3 --inside-mm 25 --piston-mm 2.5 --nut-mm 3'.split(' ');
    const { stdout } = await runCli(['travel', hard, ...args, '--json']);
    const { spacers, firstTouch } = JSON.parse(stdout);
    expect(spacers.down_mm).toBeCloseTo(5, 6);
    expect(spacers.up_mm).toBeCloseTo(9.8, 1);
    expect(firstTouch.first).toBe('piston');
    expect(firstTouch.margin_mm).toBeCloseTo(25 - 2.5 - 3 - 3 - 17.8, 1);
  });
});

describe('travel for a person', () => {
  it('says the travel first, then a table within 80 columns, a caution and the next command', async () => {
    const { stdout } = await runCli(['travel', hard]);
    expect(stdout).toMatch(/^The shock has 17\.8\d* ± .* mm of travel/);
    expect(stdout).toContain('by hand and gently');
    expect(stdout).toMatch(/Next: dashpot-bench corner/);
    for (const line of linesOf(stdout)) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('what travel refuses', () => {
  it.each([
    [['travel', hard, '--standing-mm', '-1'], /--standing-mm -1.*zero or more/],
    [['travel', hard, '--standing-mm', '40'], /standing at 40/],
    [['travel', hard, '--standing-mm', '8', '--under-piston-mm', '30'], /30\.00 mm of spacers/],
    [['travel', hard, '--under-piston-mm', '3'], /--standing-mm/],
    [['travel', hard, '--inside-mm', '25'], /--piston-mm/],
    [['travel', join(folder, 'none.csv')], /none\.csv/],
  ])('%j: one line, exit status 2, nothing on stdout', async (args, says) => {
    const { status, stdout, stderr } = await runCli([...args, '--json']);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});
