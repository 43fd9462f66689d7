import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { analysisShape } from './published-shapes.js';
import { cliPath, finished, linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-logbook-'));
const at = (name: string) => join(folder, name);
const logbook = ['--logbook', at('logbook.sqlite')];
const files = [at('one.csv'), at('two.csv')];

beforeAll(async () => {
  files.forEach((path, i) => {
    writeFileSync(path, ladderCsv({ seed: i + 1, drag_N: 1.1, damping_Ns_per_m: 20, duration_s: 15 }));
  });
  const described = [
    '--build',
    'old seal',
    '--shock',
    'left rear',
    '--seal',
    'square ring',
    '--oil-cst',
    '350,5',
  ];
  const imported = await runCli(['import', ...files, ...described, ...logbook, '--json']);
  expect(imported).toMatchObject({ status: 0, stderr: '' });
  expect(linesOf(imported.stdout).map((line) => JSON.parse(line))).toEqual(
    files.map((file, i) => ({ file, recordingId: i + 1 })),
  );
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('import', () => {
  it('makes recordings that analyze as their files do', async () => {
    const [fromFiles, fromLogbook] = await Promise.all([
      runCli(['analyze', ...files, '--json']),
      runCli(['analyze', 'build:old seal', ...logbook, '--json']),
    ]);
    const documents = (text: string) => linesOf(text).map((line) => analysisShape.parse(JSON.parse(line)));
    const [direct, kept] = [documents(fromFiles.stdout), documents(fromLogbook.stdout)];
    expect(kept.map(({ file }) => file)).toEqual(['recording:1', 'recording:2']);
    expect(kept.map(({ file, ...rest }) => rest)).toEqual(direct.map(({ file, ...rest }) => rest));
  });

  it('writes nothing at all when one of the files is bad', async () => {
    writeFileSync(at('bad.csv'), 'time_s,displacement_mm,force_N\n0,1,1\n0.1,x,1\n');
    const fresh = at('fresh.sqlite');
    const args = ['import', files[0]!, at('bad.csv'), '--build', 'new', '--logbook', fresh, '--json'];
    const { status, stdout, stderr } = await runCli(args);
    expect(status).toBe(2);
    expect(linesOf(stdout).map((line) => JSON.parse(line))).toEqual([
      { file: files[0], recordingId: null },
      { file: at('bad.csv'), error: expect.stringContaining('line 3') },
    ]);
    expect(linesOf(stderr)).toHaveLength(1);
    expect(existsSync(fresh)).toBe(false);
  });

  it.each([
    [['--build', 'old seal', '--shock', 'other shock'], /old seal.*another shock/],
    [['--build', 'old seal', '--seal', 'round ring'], /old seal.*another seal/],
    [['--build', 'new', '--parent', 'unheard of'], /--parent unheard of/],
    [[], /no --build/],
  ])('refuses %j with one line and no change', async (options, says) => {
    const before = readFileSync(logbook[1]!);
    const { status, stdout, stderr } = await runCli(['import', files[0]!, ...options, ...logbook]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
    expect(readFileSync(logbook[1]!).equals(before)).toBe(true);
  });
});

describe('the whole logbook', () => {
  it('is exported with an index, backed up and restored, and nothing is overwritten', async () => {
    const folder = at('everything');
    const all = await runCli(['export', '--all', '--to', folder, ...logbook, '--json']);
    expect(all).toMatchObject({ status: 0, stderr: '' });
    const { recordings } = JSON.parse(all.stdout);
    const index = JSON.parse(readFileSync(join(folder, 'logbook.json'), 'utf8'));
    expect(index.recordings.map(({ id }: { id: number }) => id)).toEqual(
      recordings.map(({ recordingId }: { recordingId: number }) => recordingId),
    );
    expect(existsSync(join(folder, index.recordings[0].folder, 'recording.json'))).toBe(true);
    expect((await runCli(['export', '--all', '--to', folder, ...logbook])).status).toBe(2);
    expect((await runCli(['export', '--all', ...logbook])).stderr).toMatch(/wanted .*--all --to FOLDER/);

    const copy = at('copy.sqlite');
    expect((await runCli(['backup', copy, ...logbook])).stdout).toMatch(/all of them read through/);
    expect((await runCli(['backup', copy, ...logbook])).status).toBe(2);
    const target = at('restored.sqlite');
    expect((await runCli(['restore', copy, '--logbook', target])).status).toBe(0);
    const former = JSON.parse((await runCli(['restore', copy, '--logbook', target, '--json'])).stdout).former;
    expect(existsSync(former)).toBe(true);
    const [before, after] = await Promise.all(
      [logbook, ['--logbook', target]].map((book) => runCli(['export', 'recording:1', '--to', '-', ...book])),
    );
    expect(after!.stdout).toBe(before!.stdout);
  });
});

describe('export', () => {
  it('round-trips a recording exactly through a bundle', async () => {
    const [first, second] = [at('first'), at('second')];
    const exported = await runCli(['export', 'recording:1', '--format', 'bundle', '--to', first, ...logbook]);
    expect(exported).toMatchObject({ status: 0, stderr: '' });
    expect(exported.stdout).toMatch(/\nNext: dashpot-bench import /);
    const other = ['--logbook', at('other.sqlite')];
    expect((await runCli(['import', join(first, 'recording-1'), ...other])).status).toBe(0);
    await runCli(['export', 'recording:1', '--format', 'bundle', '--to', second, ...other]);
    const names = readdirSync(join(first, 'recording-1'));
    expect(names).toContain('force.csv');
    for (const name of names)
      expect(readFileSync(join(second, 'recording-1', name), 'utf8')).toBe(
        readFileSync(join(first, 'recording-1', name), 'utf8'),
      );
  });

  it('gives the same CSV in a file and on standard output, and never overwrites', async () => {
    const to = ['--to', at('csv')];
    expect((await runCli(['export', 'build:old seal', ...to, ...logbook])).status).toBe(0);
    const piped = await runCli(['export', 'recording:2', '--to', '-', ...logbook]);
    expect(piped.stdout).toBe(readFileSync(at('csv/recording-2.csv'), 'utf8'));
    expect(JSON.parse(readFileSync(at('csv/recording-2.json'), 'utf8'))).toMatchObject({
      file: 'recording-2.csv',
      columns: { displacement_mm: 'mm' },
      build: { name: 'old seal' },
    });
    const again = await runCli(['export', 'recording:2', ...to, ...logbook]);
    expect(again).toMatchObject({ status: 2, stdout: '' });
    expect(again.stderr).toContain('recording-2.csv');
  });

  it('ends quietly when its reader has had enough', async () => {
    const pipe = `"${process.execPath}" "${cliPath}" export recording:1 --to - ${logbook.join(' ')} | head -n 2`;
    const { status, stdout, stderr } = await finished(spawn('sh', ['-c', pipe]));
    expect({ status, stderr, lines: linesOf(stdout).length }).toEqual({ status: 0, stderr: '', lines: 2 });
  });
});

describe('ports', () => {
  it('answers with a list, also where there is no port and no udev', async () => {
    const { status, stdout, stderr } = await runCli(['ports', '--json']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(JSON.parse(stdout)).toEqual({ ports: expect.any(Array) });
  });

  it('are not opened where they do not exist: status 3, one line, no logbook', async () => {
    const none = at('none.sqlite');
    const { status, stdout, stderr } = await runCli([
      ...['record', '--port', at('no-such-port'), '--build', 'x', '--logbook', none],
    ]);
    expect({ status, stdout }).toEqual({ status: 3, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(existsSync(none)).toBe(false);
  });
});

describe('start', () => {
  it('serves the logbook at the address it prints until it is interrupted', async () => {
    const child = spawn(process.execPath, [cliPath, 'start', '--no-open', ...logbook]);
    const ended = finished(child);
    const address = await new Promise<string>((resolve, reject) => {
      let text = '';
      child.stdout.on('data', (bytes: Buffer) => {
        text += bytes;
        const [found] = /http:\/\/127\.0\.0\.1:\d+\//.exec(text) ?? [];
        if (found) resolve(found);
      });
      child.on('close', () => reject(new Error('ended without an address')));
    });
    const builds = (await (await fetch(`${address}api/builds`)).json()) as { builds: { name: string }[] };
    expect(builds.builds.map(({ name }) => name)).toEqual(['old seal']);
    child.kill('SIGINT');
    expect(await ended).toMatchObject({ status: 0, stderr: '' });
  });

  it('needs a logbook that is one', async () => {
    writeFileSync(at('letter.txt'), 'Dear shock,\n'.repeat(100));
    const { status, stdout, stderr } = await runCli(['start', '--no-open', '--logbook', at('letter.txt')]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(readFileSync(at('letter.txt'), 'utf8')).toMatch(/^Dear/);
  });
});

describe('summary', () => {
  it('groups the recordings by build, as a table, CSV and JSON that agree', async () => {
    const [text, csv, json] = await Promise.all([
      runCli(['summary', ...logbook]),
      runCli(['summary', '--csv', ...logbook]),
      runCli(['summary', '--json', ...logbook]),
    ]);
    for (const { status, stderr } of [text, csv, json])
      expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const drag = (JSON.parse(json.stdout) as { rows: Record<string, unknown>[] }).rows.find(
      ({ quantity, group }) => quantity === 'friction_N' && group === 'old seal',
    )!;
    expect(drag.mean as number).toBeCloseTo(1.1, 1);
    expect(csv.stdout).toContain(`old seal,friction_N,${drag.n},${drag.mean}`);
    expect(text.stdout).toMatch(/^old seal$/m);
    expect(text.stdout).toContain((drag.mean as number).toPrecision(4));
  });

  it('of a logbook that is not there is refused in one line', async () => {
    const refused = await runCli(['summary', '--logbook', at('nowhere.sqlite')]);
    expect(refused).toMatchObject({ status: 2, stdout: '' });
    expect(linesOf(refused.stderr)).toHaveLength(1);
  });
});
