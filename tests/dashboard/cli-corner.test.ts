import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-corner-'));
const [shock, thicker] = ['shock', 'thicker'].map((name) => join(folder, `${name}.csv`)) as [string, string];

beforeAll(() => {
  writeFileSync(shock, ladderCsv({ seed: 3, drag_N: 0.3, damping_Ns_per_m: 9 }));
  writeFileSync(thicker, ladderCsv({ seed: 4, drag_N: 0.3, damping_Ns_per_m: 18 }));
});
afterAll(() => rmSync(folder, { recursive: true }));

const json = async (...args: string[]) => {
  const { status, stdout, stderr } = await runCli(['corner', ...args, '--json']);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return JSON.parse(stdout);
};

describe('corner --json', () => {
  it('stands, rides and is damped as its numbers say', async () => {
    const { corners } = await json(shock, '--mass', '500', '--spring', '0.2 N/mm', '--travel-mm', '50');
    const [{ sag_mm, frequency_Hz, dampingRatios, wheelRate_N_per_mm }] = corners;
    expect(wheelRate_N_per_mm).toBeCloseTo(0.2, 10);
    expect(sag_mm).toBeCloseTo((0.5 * 9.80665) / 0.2, 6);
    expect(frequency_Hz).toBeCloseTo(Math.sqrt(200 / 0.5) / (2 * Math.PI), 6);
    // Linear damping of 9 N·s/m, and drag as 4·F/(π·V) beside it, over 2·√(k·m).
    const at = dampingRatios.find(({ speed_m_per_s }: { speed_m_per_s: number }) => speed_m_per_s === 0.1);
    expect(at.total / ((9 + (4 * 0.3) / (Math.PI * 0.1)) / (2 * Math.sqrt(200 * 0.5)))).toBeCloseTo(1, 1);
  });

  it('lays builds and packs beside each other and keeps the frequency of the first pack', async () => {
    const { corners, springForPack } = await json(
      ...[shock, '--against', thicker, '--mass', 'light=500', 'heavy=600'],
      ...['--spring', '1.1 lbf/in', '--travel-mm', '50', '--drop-mm', '100'],
    );
    expect(corners.map(({ build, pack }: { build: string; pack: string }) => [build, pack])).toEqual([
      ['shock', 'light'],
      ['shock', 'heavy'],
      ['thicker', 'light'],
      ['thicker', 'heavy'],
    ]);
    expect(springForPack).toEqual([{ pack: 'heavy', rate_N_per_mm: expect.closeTo(0.19264 * 1.2, 4) }]);
    expect(corners[2].landing.travelUsed_mm).toBeLessThan(corners[0].landing.travelUsed_mm);
  });

  it('says that a spring is absurd on an axle and not through a lever', async () => {
    const stiff = [shock, '--mass', '500', '--spring', '1.2 N/mm'];
    const codes = ({ corners }: { corners: { warnings: { code: string }[] }[] }) =>
      corners[0]!.warnings.map(({ code }) => code);
    expect(codes(await json(...stiff))).toContain('lever-spring-on-axle');
    expect(codes(await json(...stiff, '--motion-ratio', '0.4'))).not.toContain('lever-spring-on-axle');
  });
});

describe('corner for a person', () => {
  it('says how it rides first, within 80 columns, with the next command', async () => {
    const { stdout } = await runCli(['corner', shock, '--mass', '500', '--spring', '1.2 N/mm']);
    expect(stdout).toMatch(/^It rides at 7\.8 Hz/);
    expect(stdout.replaceAll('\n', ' ')).toContain('7.8 Hz is absurd for a vehicle');
    expect(stdout).toMatch(/Next: dashpot-bench travel/);
    for (const line of linesOf(stdout)) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('what corner refuses', () => {
  it.each([
    [['--mass', '-500', '--spring', '0.2 N/mm'], /-500/],
    [['--mass', 'heavy', '--spring', '0.2 N/mm'], /--mass heavy.*grams/],
    [['--mass', '500', '--spring', '0.2'], /--spring 0\.2.*unit/],
    [['--mass', '500', '--spring', '0.2 N/mm', '--motion-ratio', '0'], /--motion-ratio 0/],
    [['--mass', '500', '--spring', '0.2 N/mm', '--tyre', '2 N/mm'], /tyre rate and no unsprung mass/],
    [['--mass', '500', '--spring', '0.2 N/mm', '--drop-mm', '50000'], /drop of 50 m/],
  ])('%j: one line, exit status 2, nothing on stdout', async (args, says) => {
    const { status, stdout, stderr } = await runCli(['corner', shock, ...args]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});
