import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addMatch } from '../../dashboard/cli/match.js';
import { tolerances } from '../../dashboard/cli/tolerance-option.js';
import { ladderCsv } from './ladder-csv.js';
import { matchShape } from './plan-shapes.js';
import { linesOf, runCli } from './run-cli.js';
import { runCommand } from './run-command.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-match-'));
const at = (name: string) => join(folder, name);
const nowhere = ['--logbook', at('never-made.sqlite')];
const builds = [at('build-1.csv'), at('build-2.csv'), at('build-3.csv')];
const stiffer = at('stiffer.csv');
const curve = at('curve.csv');

beforeAll(() => {
  builds.forEach((path, i) => {
    writeFileSync(
      path,
      ladderCsv({ seed: i + 1, drag_N: 0.8, damping_Ns_per_m: 22 + 0.05 * i, duration_s: 12 }),
    );
  });
  writeFileSync(stiffer, ladderCsv({ seed: 9, drag_N: 0.8, damping_Ns_per_m: 25, duration_s: 12 }));
  writeFileSync(
    curve,
    'velocity_mm_per_s,force_N,temperature_degC\n-150,-3.3,24.1\n-50,-1.1,24.1\n50,1.1,24.1\n150,3.3,24.1\n',
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('match --json', () => {
  const asked = async (target: string) => {
    const args = ['match', ...builds, '--target', target, '--tolerance', '5%', ...nowhere, '--json'];
    const { status, stdout, stderr } = await runCli(args);
    expect(stderr).toBe('');
    expect(linesOf(stdout)).toHaveLength(1);
    return { status, answer: matchShape.parse(JSON.parse(stdout)) };
  };

  it('says within, and ends with 0, for remounts on their target', async () => {
    const within = await asked(curve);
    expect(within).toMatchObject({ status: 0, answer: { verdict: 'within', remounts: 3 } });
    expect(within.answer.temperature_degC).toBeCloseTo(24.1, 6);
  });

  it('says outside, and ends with 1, for a recording that is stiffer', async () => {
    const outside = await asked(stiffer);
    expect(outside).toMatchObject({ status: 1, answer: { verdict: 'outside' } });
    const { low95, high95 } = outside.answer.worst.deviation_percent;
    expect(low95).toBeLessThan(100 * (22.05 / 25 - 1));
    expect(high95).toBeGreaterThan(100 * (22.05 / 25 - 1));
  });

  it('takes typed points, a tolerance by direction, and --total', async () => {
    const typed = ['--target', 'points:100=3.0,-100=-3.0', '--tolerance', '20%', 'rebound:8%', '--total'];
    const { status, stdout } = await runCommand(addMatch, [
      'match',
      builds[0]!,
      ...typed,
      ...nowhere,
      '--json',
    ]);
    expect(status).toBe(0);
    const { speeds, kind, temperatureAssumed } = matchShape.parse(JSON.parse(stdout));
    expect({ kind, temperatureAssumed }).toEqual({ kind: 'total', temperatureAssumed: true });
    expect(speeds.map(({ allowed_N }) => allowed_N)).toEqual([
      expect.closeTo(0.24, 9),
      expect.closeTo(0.6, 9),
    ]);
  });
});

describe('match for a person', () => {
  it('gives the verdict first, then an aligned table and the next command, within 80 columns', async () => {
    const { status, stdout, stderr } = await runCli(['match', ...builds, '--target', curve, ...nowhere]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toMatch(/^Within: at all \d+ speeds compared the damping lies inside the tolerance\./);
    expect(stdout).toMatch(/\nDamping +Target, N +Deviation/);
    expect(stdout.replaceAll(folder, '')).toMatch(/\nNext: dashpot-bench /);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what must not be there
    expect(stdout).not.toMatch(/\u001b|NaN|undefined/);
    for (const line of linesOf(stdout)) expect([...line].length, line).toBeLessThanOrEqual(80);
  });

  it('says in its help which verdicts end with 1', async () => {
    const { stdout } = await runCli(['match', '--help']);
    expect(stdout.replace(/\s+/g, ' ')).toContain('0 for within, with 1 for outside and for undecided');
  });
});

describe('match refuses', () => {
  it.each([
    ['a tolerance without a unit', ['--target', curve, '--tolerance', '5'], /--tolerance 5; wanted .*5%/],
    ['a tolerance of nothing', ['--target', curve, '--tolerance', '0%'], /--tolerance 0%/],
    ['typed points of the wrong sign', ['--target', 'points:100=-2'], /-2 N at 100 mm\/s; wanted .*sign/],
    ['typed points that are none', ['--target', 'points:fast=2'], /'fast=2' in --target; wanted SPEED=FORCE/],
    ['a target that is not there', ['--target', at('none.csv')], /none\.csv.*no such file/],
    ['a target of no common speed', ['--target', 'points:900=20', '--tolerance', '5%'], /target from/],
    ['a curve with a word in it', ['--target', at('bad-curve.csv')], /bad-curve\.csv, line 2.*soft/],
    [
      'an oil that is not on the shelf',
      ['--target', curve, '--oil', '30 wt'],
      /--oil 30 wt; wanted an oil of the shelf/,
    ],
    [
      'a temperature for a recording',
      ['--target', stiffer, '--target-temperature', '25'],
      /recordings have their own/,
    ],
  ])('%s: one line, exit status 2, nothing on stdout', async (_name, args, says) => {
    writeFileSync(at('bad-curve.csv'), 'velocity_mm_per_s,force_N\n100,soft\n');
    const { status, stdout, stderr } = await runCommand(addMatch, ['match', builds[0]!, ...args, ...nowhere]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });
});

describe('--tolerance', () => {
  const everywhere = { direction: 'both', from_m_per_s: 0, to_m_per_s: Number.POSITIVE_INFINITY };

  it.each([
    ['5%', { ...everywhere, percent: 5, force_N: 0 }],
    ['2,5 %', { ...everywhere, percent: 2.5, force_N: 0 }],
    ['0.2N', { ...everywhere, percent: 0, force_N: 0.2 }],
    ['5%,0.2N', { ...everywhere, percent: 5, force_N: 0.2 }],
    ['5% or 0,2 N', { ...everywhere, percent: 5, force_N: 0.2 }],
    ['rebound:8%', { ...everywhere, direction: 'rebound', percent: 8, force_N: 0 }],
    [
      'compression:100-300:0.3N',
      { direction: 'compression', from_m_per_s: 0.1, to_m_per_s: 0.3, percent: 0, force_N: 0.3 },
    ],
    ['200-:10%', { ...everywhere, from_m_per_s: 0.2, percent: 10, force_N: 0 }],
    ['-50:10%', { ...everywhere, to_m_per_s: 0.05, percent: 10, force_N: 0 }],
  ])('reads %s', (text, tolerance) => {
    expect(tolerances([text])).toEqual([tolerance]);
  });

  it.each(['', '5', '%', '5 mm', '-5%', 'sideways:5%', '300-100:5%', '5%5', 'rebound'])(
    'refuses %j',
    (text) => {
      expect(() => tolerances([text])).toThrow(/--tolerance .*; wanted/);
    },
  );

  it('lets the last that covers a speed count', () => {
    const [first] = tolerances(['5%', 'rebound:2%']);
    expect(first).toMatchObject({ direction: 'rebound', percent: 2 });
  });
});
