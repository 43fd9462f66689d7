import { execFileSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import ts from 'typescript';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { npm } from '../set-up/processes.mjs';
import { filesIn } from './source-tree.js';

/** A folder as a stranger has it after installing the tarball, without the packages that npm would fetch. */
let consumer: string;
let installed: string;
let tarball: string;

beforeAll(async () => {
  for (const built of ['dist/dashboard/cli/main.js', 'dist/dashboard/web/index.html'])
    if (!existsSync(built)) throw new Error(`${built} is not there: npm run build`);
  consumer = mkdtempSync(join(tmpdir(), 'dashpot-bench-package-'));
  const packed = await npm(['pack', '--ignore-scripts', '--silent', '--pack-destination', consumer]);
  if (!packed.ok) throw new Error(packed.output);
  tarball = join(consumer, packed.output.trim().split('\n').at(-1)!);
  execFileSync('tar', ['-xzf', tarball, '-C', consumer]);
  mkdirSync(join(consumer, 'node_modules'));
  installed = join(consumer, 'node_modules/dashpot-bench');
  renameSync(join(consumer, 'package'), installed);
}, 120_000);

afterAll(() => rmSync(consumer, { recursive: true, force: true }));

describe('the packed tarball', () => {
  it('holds the command, the page, the sample data, the protocol and the licence', () => {
    const page = readFileSync(join(installed, 'dist/dashboard/web/index.html'), 'utf8');
    const assets = [...page.matchAll(/(?:src|href)="\/?([^"]+)"/g)].map((match) =>
      join('dist/dashboard/web', match[1]!),
    );
    expect(assets.length).toBeGreaterThan(1);
    for (const path of [
      'LICENSE',
      'package.json',
      'dist/dashboard/cli/main.js',
      'dist/analysis/index.js',
      'dist/analysis/index.d.ts',
      'dist/firmware-protocol/index.d.ts',
      'firmware-protocol/PROTOCOL.md',
      'sample-data',
      ...assets,
    ])
      expect(existsSync(join(installed, path)), path).toBe(true);
  });

  it('holds nothing that only this checkout needs, and stays small', () => {
    const own = filesIn(installed);
    expect(own.filter((path) => /^dist\/\.|\.tsbuildinfo$|^tests\/|\.test\.|^\.ci\//.test(path))).toEqual([]);
    expect(statSync(tarball).size).toBeLessThan(6_000_000);
  });

  it('has a command that the system can run', () => {
    const main = join(installed, 'dist/dashboard/cli/main.js');
    expect(readFileSync(main, 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/);
    if (process.platform !== 'win32') expect(statSync(main).mode & 0o111).toBe(0o111);
  });

  it('brings danfojs with its stand-ins, so that tables need no overrides', () => {
    const script =
      "const { DataFrame } = require('danfojs-node');" +
      'const frame = new DataFrame({ group: [1, 1, 2], value: [1, 3, 9] });' +
      "console.log(JSON.stringify(frame.groupby(['group']).agg({ value: ['mean', 'std'] }).values));";
    const answer = execFileSync(process.execPath, ['-e', script], { cwd: installed, encoding: 'utf8' });
    expect(JSON.parse(answer)).toEqual([
      [1, 2, Math.SQRT2],
      [2, 9, 0],
    ]);
    const from = createRequire(join(installed, 'package.json'));
    for (const name of ['danfojs-node', 'mathjs', 'xlsx', 'request', 'node-fetch', '@tensorflow/tfjs-node'])
      expect(from.resolve(name)).toContain(join('node_modules/dashpot-bench/node_modules', name));
  });
});

const program = `
import { analyzeRecording, type AnalysisOutcome, makeTrace, type TraceInput } from 'dashpot-bench/analysis';
import { crc16Ibm3740, decodeDeviceLine, type DeviceFrame } from 'dashpot-bench/protocol';

function analyze(input: TraceInput): AnalysisOutcome {
  const made = makeTrace(input);
  return made.ok ? analyzeRecording(made.trace) : made;
}
const check: number = crc16Ibm3740(new Uint8Array([49]));
const frame = decodeDeviceLine(new Uint8Array(0));
const kind: DeviceFrame['type'] | 'skipped' = frame.type;
export { analyze, check, kind };
`;

describe('the library', () => {
  function errorsOf(text: string): string[] {
    const file = join(consumer, 'program.mts');
    writeFileSync(file, text);
    const compiled = ts.createProgram([file], {
      strict: true,
      noEmit: true,
      module: ts.ModuleKind.NodeNext,
      target: ts.ScriptTarget.ES2023,
      lib: ['lib.es2023.d.ts'],
      types: [],
    });
    return ts
      .getPreEmitDiagnostics(compiled)
      .map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, '\n'));
  }

  it('type-checks in a strict program that knows neither Node nor a browser', () => {
    expect(errorsOf(program)).toEqual([]);
  });

  it('has types that refuse what is wrong', () => {
    expect(errorsOf(`${program}\nconst wrong: string = check;`)).toHaveLength(1);
    expect(errorsOf("import 'dashpot-bench/daq';")).toHaveLength(1);
  });

  it('is imported by its name, from this checkout as from anywhere', () => {
    const script =
      "import { crc16Ibm3740 } from 'dashpot-bench/protocol';" +
      "import * as analysis from 'dashpot-bench/analysis';" +
      "const word = crc16Ibm3740(new TextEncoder().encode('123456789'));" +
      'console.log(word.toString(16), typeof analysis.analyzeRecording);';
    const args = ['--input-type=module', '-e', script];
    // CRC-16/IBM-3740's check word in the catalogue of parametrised CRC algorithms.
    expect(execFileSync(process.execPath, args, { encoding: 'utf8' })).toBe('29b1 function\n');
  });
});
