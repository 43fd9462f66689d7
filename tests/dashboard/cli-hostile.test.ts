import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ladderCsv } from './ladder-csv.js';
import { analysisShape, failureShape } from './published-shapes.js';
import { type Finished, linesOf, runCli } from './run-cli.js';

const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-hostile-'));
const header = 'time_s,displacement_mm,force_N\n';
const sound = ladderCsv({ seed: 1, drag_N: 1, damping_Ns_per_m: 20, duration_s: 10 });
const [names, ...rows] = sound.trimEnd().split('\n') as [string, ...string[]];
const withRows = (change: (cells: string[], i: number) => (string | number)[]) =>
  `${[names, ...rows.map((row, i) => change(row.split(','), i).join(','))].join('\n')}\n`;
const text = (value: string) => Buffer.from(value);

/** Files that hold the same recording, written in other ways. */
const alike: Record<string, Buffer> = {
  sound: text(sound),
  'decimal commas': text(sound.replaceAll(',', ';').replaceAll('.', ',')),
  'units by name': text(
    withRows(([t, x, f, c]) => [1e3 * Number(t), Number(x) / 25.4, Number(f) / 4.4482216152605, c!]).replace(
      names,
      'time_ms,displacement_in,force_lbf,temperature_degC',
    ),
  ),
  'seconds since 1970': text(withRows(([t, ...rest]) => [(1764032400 + Number(t)).toFixed(6), ...rest])),
  'an hour between two halves': text(
    withRows(([t, ...rest], i) => [(Number(t) + (i > rows.length / 2 ? 3600 : 0)).toFixed(6), ...rest]),
  ),
  'byte order mark and CRLF': text(`\uFEFF${sound.replaceAll('\n', '\r\n')}`),
};

/** Files that hold none, and what is said of each. */
const hostile: Record<string, [Buffer, RegExp]> = {
  nothing: [text(''), /line 1: found no header/],
  'a newline': [text('\n'), /no header/],
  'a header only': [text(header), /line 2: found no rows/],
  'one column': [text('force_N\n1\n2\n'), /line 1: found columns 'force_N'; wanted time_s/],
  'numbers without a header': [text('0,1,2\n1,2,3\n'), /line 1/],
  'three samples': [text(`${header}0,1,2\n1,2,3\n2,3,4\n`), /3 position samples/],
  'a cell that is no number': [text(`${header}0,1,2\n1,2,NaN\n`), /line 3, column force_N: found 'NaN'/],
  'a number beyond any float': [text(`${header}0,1,2\n1,2,1e309\n`), /line 3.*1e309/],
  'time running backwards': [
    text(`${header}0,1,2\n2,1,2\n1,1,2\n`),
    /line 4, column time_s: found 1 after 2/,
  ],
  'the same time twice': [text(`${header}0,1,2\n1,1,2\n1,1,2\n`), /line 4.*found 1 after 1/],
  'a unit nobody knows': [
    text('time_s,displacement_furlong,force_N\n0,1,2\n'),
    /displacement_furlong.*displacement_mm/,
  ],
  'decimal commas between commas': [text(`${header}0,0,1,5,2,5\n`), /line 2: found 6 cells; wanted 3/],
  'no force at all': [text(withRows(([t, x, , c]) => [t!, x!, '', c!])), /There is no force/],
  'a constant force': [text(withRows(([t, x, , c]) => [t!, x!, '3', c!])), /every force sample is 3 N/],
  'a constant position': [text(withRows(([t, , f, c]) => [t!, '5', f!, c!])), /0.000 mm of travel/],
  'a cell at its limits': [
    text(withRows(([t, x, f, c]) => [t!, x!, Number(f) > 1.5 ? '2' : '-2', c!])),
    /of 3200 force samples at the ends/,
  ],
  'huge forces': [text(withRows(([t, x, f, c]) => [t!, x!, `${f}e300`, c!])), /a force of .*e\+?30/],
  'forces below any float': [text(withRows(([t, x, f, c]) => [t!, x!, `${f}e-322`, c!])), /force/],
  'seconds that are microseconds': [text(withRows(([t, ...rest]) => [`${t}e6`, ...rest])), /unit of time/],
  'quotes that never close': [text(sound.replace(/\n/, '\n"')), /quotes/],
  'quotes that never close in a long file': [
    text(`${header}0,"1,2\n${'1,2,3\n'.repeat(300_000)}`),
    /more than 1 MB|quotes/,
  ],
  'UTF-16': [Buffer.from(`\uFEFF${sound}`, 'utf16le'), /UTF-16/],
  'NUL bytes': [text(sound.replace(/\n0\.1/, '\n\0\0\0')), /column time_s/],
  'bytes of anything': [Buffer.from(Array.from({ length: 5000 }, (_, i) => (i * 7919) % 256)), /wanted/],
  'a line of megabytes': [
    text(`${header}0,1,${'1'.repeat(20_000_000)}\n`),
    /line 2, column force_N: found '1{40}'/,
  ],
  'a header of megabytes': [text(`${'x'.repeat(5_000_000)}\n0,1,2\n`), /a first line of 5\.0 MB/],
};

const pathOf = (name: string) => join(folder, `${name}.csv`);
const special = { folder: pathOf('folder'), pipe: pathOf('pipe'), missing: pathOf('missing') };

describe('analyze with files of every kind at once', () => {
  let run: Finished;
  let documents: unknown[];
  const files = [
    pathOf('sound'),
    ...Object.keys(hostile).map(pathOf),
    ...Object.values(special),
    ...Object.keys(alike).map(pathOf),
  ];

  beforeAll(async () => {
    for (const [name, content] of Object.entries(alike)) writeFileSync(pathOf(name), content);
    for (const [name, [content]] of Object.entries(hostile)) writeFileSync(pathOf(name), content);
    mkdirSync(special.folder);
    execFileSync('mkfifo', [special.pipe]);
    run = await runCli(['analyze', ...files, '--json']);
    documents = linesOf(run.stdout).map((line) => JSON.parse(line) as unknown);
  }, 180_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const documentOf = (name: string) => documents[files.lastIndexOf(pathOf(name))];

  it('answers each in its place and ends with 2', () => {
    expect(documents.map((document) => (document as { file: string }).file)).toEqual(files);
    expect(run.status).toBe(2);
  });

  it.each(Object.entries(hostile))('says of %s what was found', (name, [, says]) => {
    const { error } = failureShape.parse(documentOf(name));
    expect(error).toMatch(says);
    expect(error.split(pathOf(name))).toHaveLength(2);
    expect(error.length - pathOf(name).length).toBeLessThan(250);
  });

  it.each(Object.keys(special))('says of a %s that it is none to read', (name) => {
    expect(failureShape.parse(documentOf(name)).error).toMatch(
      /found (a folder|a pipe|no such file); wanted/,
    );
  });

  it('puts the same lines on standard error, and no trace of the program', () => {
    const errors = documents.flatMap((document) => failureShape.safeParse(document).data?.error ?? []);
    expect(linesOf(run.stderr)).toEqual(errors);
    expect(run.stderr).not.toMatch(/fault in dashpot-bench|node:|^\s+at /m);
  });

  it.each(Object.keys(alike))('gives the same drag for %s', (name) => {
    const { friction } = analysisShape.parse(documentOf(name));
    const expected = analysisShape.parse(documents[0]).friction.mean_N.value;
    expect(Math.abs(friction.mean_N.value / expected - 1)).toBeLessThan(0.01);
  });
});
