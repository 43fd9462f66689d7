import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { comparisonShape } from './published-shapes.js';
import { linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-compare-'));
/** Two remounts each, whose drag differs by a little. */
const remounts = (name: string, drag_N: number, seed: number) =>
  [0.99, 1.01].map((factor, i) => {
    const path = join(folder, `${name}-${i + 1}.csv`);
    writeFileSync(
      path,
      ladderCsv({ seed: seed + i, drag_N: drag_N * factor, damping_Ns_per_m: 25, duration_s: 12 }),
    );
    return path;
  });
let [old, fresh, twin]: string[][] = [];

beforeAll(() => {
  old = remounts('old', 0.8, 10);
  fresh = remounts('fresh', 0.5, 20);
  twin = remounts('twin', 0.8, 30);
});
afterAll(() => rmSync(folder, { recursive: true }));

const json = async (...args: string[]) => {
  const { status, stdout, stderr } = await runCli(['compare', ...args, '--json']);
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  return JSON.parse(stdout);
};

describe('compare', () => {
  it('keeps the published shape for two sides, with what more remounts would show', async () => {
    const answer = await json('--before', ...old!, '--after', ...fresh!);
    expect(comparisonShape.safeParse(answer).success).toBe(true);
    const [drag] = answer.differences;
    expect(drag).toMatchObject({
      quantity: 'friction_N',
      verdict: 'lower',
      familyVerdict: expect.any(String),
      spread: { basis: 'remounts', degreesOfFreedom: 2 },
    });
    expect(drag.plan.difference).toBeCloseTo(0.08, 2);
    expect(answer.remounts).toEqual({ before: 2, after: 2 });
  });

  it('holds any number of builds against the first, all judged together', async () => {
    const answer = await json(
      '--build',
      'old',
      ...old!,
      '--build',
      'fresh',
      ...fresh!,
      '--build',
      'twin',
      ...twin!,
    );
    expect(answer.reference).toBe('old');
    expect(answer.comparisons.map(({ name }: { name: string }) => name)).toEqual(['fresh', 'twin']);
    const [fresher, same] = answer.comparisons.map(
      ({ differences }: { differences: { spread: { degreesOfFreedom: number }; familyVerdict: string }[] }) =>
        differences[0]!,
    );
    expect(fresher.familyVerdict).toBe('lower');
    expect(same.familyVerdict).toBe('not-resolved');
    expect(fresher.spread.degreesOfFreedom).toBe(3);
    expect(answer.family.cost).toBeGreaterThan(1.5);
  });

  it('does not trust one recording a side: a spread is assumed, or the one that is stated', async () => {
    const sides = ['--before', old![0]!, '--after', fresh![0]!];
    const [assumed] = (await json(...sides)).differences;
    const [stated] = (await json(...sides, '--remount-spread', '2%')).differences;
    expect(assumed.spread.basis).toBe('assumed');
    expect(stated.spread.basis).toBe('rig');
    const width = ({ difference }: { difference: { low95: number; high95: number } }) =>
      difference.high95 - difference.low95;
    // 2.78 · 0.05 · √(0.79² + 0.495²) each way.
    expect(width(assumed)).toBeCloseTo(2 * 2.776 * 0.05 * Math.hypot(0.792, 0.495), 2);
    // A normal quantile and 2 % in place of 2.78 and 5 % would be 0.28; what each recording is itself sure of adds to that.
    expect(width(stated)).toBeGreaterThan(0.28 * width(assumed));
    expect(width(stated)).toBeLessThan(0.5 * width(assumed));
    const { stdout } = await runCli(['compare', ...sides]);
    expect(stdout.replaceAll('\n', ' ')).toContain('a spread of 5 % between them is assumed');
  });

  it('pairs a set of four', async () => {
    const four = [old![0]!, fresh![0]!, twin![0]!, fresh![1]!].flatMap((path, i) => [
      '--build',
      'abcd'[i]!,
      path,
    ]);
    const { pairs, matches } = await json('--pairs', ...four);
    expect(pairs.map(({ labels }: { labels: string[] }) => labels).sort()).toEqual([
      ['a', 'c'],
      ['b', 'd'],
    ]);
    expect(matches).toHaveLength(6);
  });

  it.each([
    [['--build', 'old', 'old-1.csv'], /at least two builds/],
    [['--build', 'old', '--build', 'new', 'x.csv'], /--build old.*at least one file/],
    [['--build', 'a', 'x.csv', '--build', 'a', 'y.csv'], /twice/],
    [['--before', 'x.csv', '--build', 'a', 'y.csv'], /one way/],
    [[], /--before FILE/],
    [['--before', 'x.csv', '--after', 'y.csv', '--matters', '0%'], /--matters 0%/],
  ])('%j is refused in one line with exit status 2', async (args, says) => {
    const { status, stdout, stderr } = await runCli(['compare', ...args]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});

describe('resolves', () => {
  it('answers from remounts of one build, quantity by quantity', async () => {
    const { status, stdout, stderr } = await runCli(['resolves', ...old!, '--json']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const { basis, quantities } = JSON.parse(stdout);
    expect(basis).toBe('remounts');
    expect(quantities[0].quantity).toBe('friction_N');
    expect(quantities[0].spread.standardDeviation).toBeGreaterThan(0.009);
    expect(quantities.map(({ quantity }: { quantity: string }) => quantity)).toContain(
      'damping.rebound@0.10',
    );
  });

  it('answers before anything was measured, from a stated or an assumed spread, and makes no logbook', async () => {
    const logbook = join(folder, 'none.sqlite');
    const { stdout } = await runCli(['resolves', '--drag-n', '0.4', '--logbook', logbook, '--json']);
    const { basis, quantities } = JSON.parse(stdout);
    expect(basis).toBe('assumed');
    // 3.07 spreads with three and three remounts.
    expect(quantities[0].resolvable[1].expected).toBeCloseTo(3.07 * 0.05 * 0.4, 3);
    const stated = await runCli(['resolves', '--remount-spread', '2%', '--logbook', logbook]);
    expect(stated.stdout).toMatch(/^Drag: three remounts a side tell/);
    for (const line of linesOf(stated.stdout)) expect(line.length).toBeLessThanOrEqual(90);
  });

  it('refuses a percentage that is none', async () => {
    const { status, stderr } = await runCli(['resolves', '--remount-spread', '-3%']);
    expect(status).toBe(2);
    expect(linesOf(stderr)).toHaveLength(1);
  });
});
