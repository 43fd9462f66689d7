import { describe, expect, it } from 'vitest';
import { defaultLogbookPath } from '../../dashboard/cli/logbook-path.js';
import { parseArgument } from '../../dashboard/cli/source.js';
import { table } from '../../dashboard/cli/table.js';
import { wrap } from '../../dashboard/cli/terminal.js';
import { cliPath, linesOf, runCli, spawnCli } from './run-cli.js';

const commands = [
  'demo',
  'start',
  'ports',
  'record',
  'rig-check',
  'import',
  'analyze',
  'compare',
  'match',
  'plan-oil',
  'plan-holes',
  'shelf',
  'export',
];

describe('help', () => {
  it('names every command, the exit statuses and the next command to try', async () => {
    const { status, stdout, stderr } = await runCli(['--help']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    for (const command of commands) expect(stdout).toMatch(new RegExp(`^  ${command}\\b`, 'm'));
    expect(stdout).toContain('Exit status: 0 done');
    expect(stdout).toContain('Next: dashpot-bench demo');
    for (const line of linesOf(stdout)) expect(line.length).toBeLessThanOrEqual(110);
  });

  it('is what a bare call shows', async () => {
    const [bare, help] = await Promise.all([spawnCli([]), spawnCli(['--help'])]);
    expect(bare).toEqual(help);
  });

  it('loads none of the heavy packages', async () => {
    const spy = `import { register } from 'node:module';
      register('data:text/javascript,' + encodeURIComponent(\`
        import { writeSync } from 'node:fs';
        export async function resolve(name, context, next) { writeSync(2, name + '\\\\n'); return next(name, context); }
      \`));`;
    const url = `data:text/javascript,${encodeURIComponent(spy)}`;
    const { stderr } = await spawnCli(['--help'], {
      env: { ...process.env, NODE_OPTIONS: `--import ${url}` },
    });
    expect(stderr).toContain('commander');
    expect(stderr).not.toMatch(
      /serialport|better-sqlite3|fastify|csv-|zod|pino|danfo|daq\/|analysis\/index|server\//,
    );
  });

  it.each(commands)('of %s explains its options', async (command) => {
    const { status, stdout } = await runCli([command, '--help']);
    expect(status).toBe(0);
    expect(stdout).toContain(`Usage: dashpot-bench ${command}`);
    expect(stdout).toContain('--logbook');
  });
});

describe('usage errors', () => {
  it.each([
    [['analyse', 'x.csv'], /unknown command 'analyse'.*analyze/],
    [['analyze', 'x.csv', '--jsno'], /unknown option '--jsno'.*--json/],
    [['analyze'], /missing required argument 'file'/],
    [['compare', '--before', 'x.csv'], /--after/],
    [['record', '--port', '/dev/null', '--build', 'x', '--seconds', 'soon'], /seconds.*soon/],
    [['start', '--port', '99999'], /99999/],
  ])('%j: one line with a hint, exit status 2, nothing on stdout', async (args, says) => {
    const { status, stdout, stderr } = await runCli(args);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(linesOf(stderr)).toHaveLength(1);
    expect(stderr).toMatch(says);
  });

  it('show no control characters of a hostile file name', async () => {
    const { stderr } = await runCli(['compare', '--before', 'no\u001b[31msuch', '--after', 'x']);
    expect(stderr).toContain('\\x1b');
    expect(stderr).not.toContain('\u001b');
  });

  it('keep the version apart', async () => {
    expect(await spawnCli(['--version'])).toEqual({
      status: 0,
      stdout: expect.stringMatching(/^\d+\.\d+\.\d+\n$/),
      stderr: '',
    });
    expect(cliPath).toContain('dist');
  });
});

describe('the default logbook', () => {
  it('lies where the platform keeps the data of programs', () => {
    expect(defaultLogbookPath('linux', {}, '/home/a')).toBe(
      '/home/a/.local/share/dashpot-bench/logbook.sqlite',
    );
    expect(defaultLogbookPath('linux', { XDG_DATA_HOME: '/data' }, '/home/a')).toBe(
      '/data/dashpot-bench/logbook.sqlite',
    );
    expect(defaultLogbookPath('darwin', {}, '/Users/a')).toBe(
      '/Users/a/Library/Application Support/dashpot-bench/logbook.sqlite',
    );
    expect(
      defaultLogbookPath('win32', { LOCALAPPDATA: 'C:\\Users\\a\\AppData\\Local' }, 'C:\\Users\\a'),
    ).toBe('C:\\Users\\a\\AppData\\Local\\dashpot-bench\\logbook.sqlite');
  });

  it('ignores a relative XDG folder, as the specification asks', () => {
    expect(defaultLogbookPath('linux', { XDG_DATA_HOME: 'data' }, '/home/a')).toContain(
      '/home/a/.local/share',
    );
  });
});

describe('a FILE argument', () => {
  it('is a build, a recording or a path', () => {
    expect(parseArgument('build:soft seal')).toEqual({ kind: 'build', name: 'soft seal' });
    expect(parseArgument('recording:12')).toEqual({ kind: 'recording', id: 12 });
    expect(parseArgument('recording:last')).toEqual({ kind: 'file', path: 'recording:last' });
    expect(parseArgument('./build:odd.csv')).toEqual({ kind: 'file', path: './build:odd.csv' });
    expect(parseArgument('build:')).toEqual({ kind: 'file', path: 'build:' });
  });
});

describe('text', () => {
  it('is wrapped at spaces and never loses a word', () => {
    const text = 'a sentence of several words that is broken at spaces';
    const lines = wrap(text, 20, '  ').split('\n');
    expect(lines.every((line) => line.length <= 20)).toBe(true);
    expect(lines.map((line) => line.trim()).join(' ')).toBe(text);
  });

  it('keeps a number with its unit and its uncertainty on one line', () => {
    const text = 'Drag is 1.054 ± 0.032 N and damping 3.17 ± 0.06 N at 93.4 mm/s in compression at 24 °C now';
    for (let width = 20; width < 60; width++)
      for (const line of wrap(text, width).split('\n')) expect(line).not.toMatch(/±$|^±|\d$|^(N|mm|°C)\b/);
  });

  it('is aligned in tables, whose first column is broken where they are too wide', () => {
    const columns = [
      { heading: 'Quantity', align: 'left' as const, cell: (row: string[]) => row[0]! },
      { heading: 'N', align: 'right' as const, cell: (row: string[]) => row[1]! },
    ];
    const data = [
      ['Drag', '1.32'],
      ['Compression damping at 100 mm/s', '12.40'],
    ];
    expect(linesOf(table(columns, data, { width: 80 }))).toEqual([
      'Quantity                             N',
      'Drag                              1.32',
      'Compression damping at 100 mm/s  12.40',
    ]);
    const narrow = linesOf(table(columns, data, { width: 27 }));
    expect(narrow.every((line) => line.length <= 27)).toBe(true);
    expect(narrow).toHaveLength(4);
    const grouped = linesOf(
      table(columns, data, { heading: ([name]) => (name === 'Drag' ? null : 'Damping') }),
    );
    expect(grouped.map((line) => line.split(' ')[0])).toEqual(['Quantity', 'Drag', 'Damping', 'Compression']);
  });
});
