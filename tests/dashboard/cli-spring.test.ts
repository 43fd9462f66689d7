import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { linesOf, runCli } from './run-cli.js';
import { pullCsv } from './slow-csv.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-spring-'));
const [pull, bare, oneWay, falling] = ['pull', 'bare', 'one-way', 'falling'].map((name) =>
  join(folder, `${name}.csv`),
) as [string, string, string, string];
const shelf = join(folder, 'shelf.json');

beforeAll(() => {
  writeFileSync(pull, pullCsv());
  writeFileSync(bare, pullCsv({ rate_N_per_m: 31, preload_N: 0.5 }));
  writeFileSync(
    oneWay,
    pullCsv(
      {},
      Array.from({ length: 400 }, (_, i) => i * 45e-6),
    ),
  );
  writeFileSync(
    falling,
    pullCsv({}, undefined, (force_N) => -force_N),
  );
  writeFileSync(
    shelf,
    JSON.stringify({
      springs: [
        { name: 'soft', rate_N_per_mm: 0.2 },
        { name: 'firm', rate_N_per_mm: 0.33 },
      ],
    }),
  );
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('spring --json', () => {
  it('gives rate and preload with intervals and leaves standard error empty', async () => {
    const { status, stdout, stderr } = await runCli(['spring', pull, '--json']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const { rate_N_per_mm, preload_N, friction_N, notIdentified } = JSON.parse(stdout);
    expect(Math.abs(rate_N_per_mm.value - 0.281)).toBeLessThan(0.001);
    expect(rate_N_per_mm.low95).toBeLessThan(rate_N_per_mm.high95);
    expect(preload_N.value).toBeCloseTo(1.2, 1);
    expect(friction_N.value).toBeCloseTo(0.3, 2);
    expect(notIdentified).toEqual([]);
  });

  it('takes the bare shock off', async () => {
    const { stdout } = await runCli(['spring', pull, '--bare', bare, '--json']);
    const { rate_N_per_mm, preload_N, bareRate_N_per_mm } = JSON.parse(stdout);
    expect(bareRate_N_per_mm.value).toBeCloseTo(0.031, 3);
    expect(rate_N_per_mm.value).toBeCloseTo(0.25, 2);
    expect(preload_N.value).toBeCloseTo(0.7, 1);
  });

  it('does not know a preload from one way only and lists it', async () => {
    const { stdout } = await runCli(['spring', oneWay, '--json']);
    const { preload_N, friction_N, rate_N_per_mm, notIdentified } = JSON.parse(stdout);
    expect([preload_N, friction_N]).toEqual([null, null]);
    expect(notIdentified).toEqual(['preload_N', 'friction_N']);
    expect(rate_N_per_mm.value).toBeCloseTo(0.281, 2);
  });

  it.each([
    ['1.6 lbf/in', 'agrees', null],
    ['1,1 lbf/in', 'differs', null],
    ['28.6 lbf/in', 'differs', 'gf/mm'],
    ['0.281N/mm', 'agrees', null],
  ])('holds it against a label of %s: %s', async (label, verdict, readsLike) => {
    const { stdout } = await runCli(['spring', pull, '--label', label, '--json']);
    expect(JSON.parse(stdout).label).toMatchObject({ verdict, readsLike });
  });

  it('names the spring that keeps the frequency of another mass, and the nearest on the shelf', async () => {
    const args = ['--mass-from', '500', '--mass-to', '600', '--shelf', shelf];
    const { stdout } = await runCli(['spring', pull, ...args, '--json']);
    const { ride } = JSON.parse(stdout);
    expect(ride.wanted_N_per_mm.value).toBeCloseTo(0.281 * 1.2, 2);
    expect(ride.shelf[0].spring.label).toBe('firm');
  });
});

describe('spring for a person', () => {
  it('says the rate first, then a table within 80 columns, a caution about eyes and the next command', async () => {
    const { status, stdout } = await runCli([
      'spring',
      pull,
      '--wire-mm',
      '0.9',
      '--coil-mm',
      '13',
      '--coils',
      '8',
    ]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/^The spring has 0\.28\d* N\/mm/);
    expect(stdout).toContain('eye protection');
    expect(stdout).toMatch(/lbf\/in\n/);
    expect(stdout).toMatch(/Next: dashpot-bench corner/);
    for (const line of linesOf(stdout)) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('what spring refuses', () => {
  it.each([
    [['spring', falling], /falling\.csv: .*wanted a force that rises/],
    [['spring', pull, '--label', '1.6 stone'], /1\.6 stone.*lbf\/in/],
    [['spring', pull, '--label', '-3 N/mm'], /-3 N\/mm|above zero/],
    [['spring', pull, '--wire-mm', '1'], /--coil-mm and --coils/],
    [['spring', pull, '--wire-mm', '5', '--coil-mm', '9', '--coils', '6'], /wires/],
    [['spring', pull, '--mass-from', '500'], /--mass-to/],
    [['spring', pull, '--mass-from', '-5', '--mass-to', '600'], /--mass-from -5.*above zero/],
    [['spring', join(folder, 'none.csv')], /none\.csv/],
  ])('%j: one line, exit status 2, nothing on stdout', async (args, says) => {
    const { status, stdout, stderr } = await runCli([...args, '--json']);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});
