import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { analysisShape, comparisonShape, failureShape } from './published-shapes.js';
import { cliPath, finished, linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-cli-'));
const logbook = join(folder, 'never-made.sqlite');
const draggy = [1, 2, 3].map((seed) => join(folder, `draggy-${seed}.csv`));
const smooth = [4, 5, 6].map((seed) => join(folder, `smooth-${seed}.csv`));

beforeAll(() => {
  draggy.forEach((path, i) => {
    writeFileSync(path, ladderCsv({ seed: i + 1, drag_N: 1.3 + 0.01 * i, damping_Ns_per_m: 22 }));
  });
  smooth.forEach((path, i) => {
    writeFileSync(path, ladderCsv({ seed: i + 4, drag_N: 0.9 + 0.01 * i, damping_Ns_per_m: 22 }));
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('analyze --json', () => {
  it('prints one document a line in the order given, in the published shape, and nothing else', async () => {
    const { status, stdout, stderr } = await runCli(['analyze', ...draggy, smooth[0]!, '--json']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const documents = linesOf(stdout).map((line) => analysisShape.parse(JSON.parse(line)));
    expect(documents.map(({ file }) => file)).toEqual([...draggy, smooth[0]]);
    expect(documents[0]!.friction.mean_N.value).toBeGreaterThan(documents[3]!.friction.mean_N.value);
  });

  it('takes a stated procedure at its word, and none that does not exist', async () => {
    const { stdout } = await runCli(['analyze', draggy[0]!, '--procedure', 'warm-up', '--json']);
    expect(JSON.parse(stdout)).toMatchObject({ procedure: 'warm-up' });
    const { status, stderr } = await runCli(['analyze', draggy[0]!, '--procedure', 'dance', '--json']);
    expect(status).toBe(2);
    expect(stderr).toContain('slow-sweep');
  });

  it('lists exactly the estimates that are null as not identified', async () => {
    const { stdout } = await runCli(['analyze', draggy[0]!, '--json']);
    const document = JSON.parse(stdout) as Record<string, unknown>;
    expect([...(document.notIdentified as string[])].sort()).toEqual(
      nullPaths({
        friction: document.friction,
        damping: document.damping,
        gas: document.gas,
        rig: document.rig,
      }).sort(),
    );
  });

  it('answers one file the same alone as among others', async () => {
    const [alone, among] = await Promise.all([
      runCli(['analyze', smooth[0]!, '--json']),
      runCli(['analyze', draggy[0]!, smooth[0]!, draggy[1]!, '--json']),
    ]);
    expect(linesOf(among.stdout)[1]).toBe(linesOf(alone.stdout)[0]);
  });

  it('puts a bad file in its place, answers the others and ends with 2', async () => {
    const missing = join(folder, 'missing.csv');
    const { status, stdout, stderr } = await runCli(['analyze', draggy[0]!, missing, smooth[0]!, '--json']);
    expect(status).toBe(2);
    const [first, second, third] = linesOf(stdout).map((line) => JSON.parse(line) as unknown);
    expect(analysisShape.parse(first).file).toBe(draggy[0]);
    expect(failureShape.parse(second).file).toBe(missing);
    expect(analysisShape.parse(third).file).toBe(smooth[0]);
    expect(linesOf(stderr)).toEqual([failureShape.parse(second).error]);
  });

  it('ends quietly when its reader has had enough', async () => {
    const pipe = `"${process.execPath}" "${cliPath}" analyze ${draggy.join(' ')} ${smooth.join(' ')} --json | head -n 1`;
    const { status, stdout, stderr } = await finished(spawn('sh', ['-c', pipe]));
    expect({ status, stderr, lines: linesOf(stdout).length }).toEqual({ status: 0, stderr: '', lines: 1 });
  });
});

describe('analyze for a person', () => {
  it('gives the sentence, an aligned table and the next command, within 80 columns and without colour', async () => {
    const { status, stdout, stderr } = await runCli(['analyze', draggy[0]!]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expectPlainText(stdout.replaceAll(draggy[0]!, 'draggy-1.csv'));
    expect(stdout).toMatch(/Drag is \d+\.\d+ ± 0\.\d+ N/);
    expect(stdout).toMatch(/\nNext: dashpot-bench compare/);
  });
});

describe('compare', () => {
  it('gives the published shape, and sees a difference in drag that is there', async () => {
    const { status, stdout, stderr } = await runCli([
      ...['compare', '--before', ...draggy, '--after', ...smooth, '--json'],
    ]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const { differences } = comparisonShape.parse(JSON.parse(stdout));
    const drag = differences.find(({ quantity }) => quantity === 'friction_N')!;
    expect(drag.verdict).toBe('lower');
    expect(drag.difference.low95).toBeLessThan(-0.4);
    expect(drag.difference.high95).toBeGreaterThan(-0.4);
    expect(differences.map(({ quantity }) => quantity)).toContain('damping.compression@0.10');
  });

  it('says it in a sentence and a table for a person', async () => {
    const { status, stdout } = await runCli(['compare', '--before', ...draggy, '--after', ...smooth]);
    expect(status).toBe(0);
    expectPlainText(stdout);
    expect(stdout).toMatch(
      /^The after build drags 0\.\d+ N less than the before build \(95 %: [\d.]+ to [\d.]+\),\sabout 3\d %\./,
    );
    expect(stdout).toMatch(/\nNext: dashpot-bench /);
  });

  it('refuses a side that cannot be read, in one line', async () => {
    const { status, stdout, stderr } = await runCli([
      'compare',
      '--before',
      draggy[0]!,
      '--after',
      `${folder}/no.csv`,
    ]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toContain('no.csv');
  });
});

const rows = (...lines: string[]) => lines.join('\n');
const header = 'time_s,displacement_mm,force_N';

describe('bad input', () => {
  const cases: [string, string | Buffer, RegExp][] = [
    ['an empty file', '', /empty\.csv|wanted/],
    ['a header without force', rows('time_s,displacement_mm', '0,1', '0.1,2'), /force/],
    ['words where numbers belong', rows(header, '0,1,2', '0.1,abc,2'), /line 3.*abc/],
    ['a time that runs backwards', rows(header, '0,1,2', '0.2,1,2', '0.1,1,2'), /line 4/],
    ['a row that is too short', rows(header, '0,1,2', '0.1,1'), /line 3/],
    ['a header and nothing else', `${header}\n`, /wanted/],
    ['a picture', Buffer.from('89504e470d0a1a0a0000000d49484452ffff00', 'hex'), /wanted/],
    [
      'a shock that never moves',
      rows(header, ...Array.from({ length: 2000 }, (_, i) => `${i / 320},5,${i % 7}`)),
      /move/,
    ],
    ['a handful of rows', rows(header, '0,1,2', '0.1,1.1,2', '0.2,1.2,2.1'), /wanted/],
  ];

  it.each(cases)(
    '%s: one line that names the file, exit status 2, nothing on stdout',
    async (name, content, says) => {
      const path = join(folder, `bad ${name}.csv`);
      writeFileSync(path, content);
      const { status, stdout, stderr } = await runCli(['compare', '--before', path, '--after', draggy[0]!]);
      expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
      expect(linesOf(stderr)).toHaveLength(1);
      expect(stderr).toContain(path);
      expect(stderr).toMatch(says);
      expect(stderr).not.toMatch(/^\s+at |node:|Error:/m);
    },
  );

  it('never makes a logbook to look something up in', async () => {
    for (const name of ['build:nothing', 'recording:7']) {
      const { status, stderr } = await runCli(['analyze', name, '--logbook', logbook]);
      expect(status).toBe(2);
      expect(linesOf(stderr)).toHaveLength(1);
      expect(stderr).toContain(logbook);
    }
    expect(existsSync(logbook)).toBe(false);
  });
});

/** Paths of all nulls, dotted. */
function nullPaths(value: unknown, path = ''): string[] {
  if (value === null) return [path];
  if (typeof value !== 'object' || Array.isArray(value)) return [];
  return Object.entries(value as object).flatMap(([key, part]) =>
    nullPaths(part, path ? `${path}.${key}` : key),
  );
}

function expectPlainText(text: string): void {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences are what must not be there
  expect(text).not.toMatch(/\u001b|NaN|undefined/);
  for (const line of linesOf(text)) expect([...line].length, line).toBeLessThanOrEqual(80);
}
