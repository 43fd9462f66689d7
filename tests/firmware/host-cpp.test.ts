import { join } from 'node:path';
import { describe, expect, it, type TestContext } from 'vitest';
import { compilerVersion, here, outputOf, scratchFolder } from './toolchain.js';

const compiler = 'g++';
const version = compilerVersion(compiler);
const flags = [
  '-std=c++14',
  '-g',
  '-O0',
  '-Wall',
  '-Wextra',
  '-Wpedantic',
  '-Wshadow',
  '-Wconversion',
  '-Werror',
  '-fsanitize=address,undefined',
  '-fno-sanitize-recover=all',
  '-I',
  join(here, 'host/stand-in'),
];

/** Compiles a program of host/ with sanitizers and runs it. @returns how many checks it made */
async function checksOf(name: string, { onTestFinished }: TestContext): Promise<number> {
  const program = join(scratchFolder(onTestFinished), name);
  await outputOf(compiler, [...flags, join(here, `host/${name}.cpp`), '-o', program]);
  const output = await outputOf(program, []);
  const [, count] = /^checked: (\d+)\n$/.exec(output) ?? [];
  if (!count) throw new Error(output);
  return Number(count);
}

describe.concurrent(
  version ? `the core, compiled by ${version}` : 'the core (no g++ here: not compiled)',
  () => {
    it.skipIf(!version)('reads and writes every vector of the protocol, sanitizers on', async (context) => {
      expect(await checksOf('vectors', context)).toBeGreaterThan(250);
    });

    it.skipIf(!version)('keeps its promises part by part, sanitizers on', async (context) => {
      expect(await checksOf('core', context)).toBeGreaterThan(40_000);
    });

    it.skipIf(!version)('runs a whole rig under the second board layer, sanitizers on', async (context) => {
      expect(await checksOf('ide-board', context)).toBeGreaterThan(2000);
    });

    it.skipIf(!version)(
      'reads sensors on I2C under the second board layer, sanitizers on',
      async (context) => {
        expect(await checksOf('ide-bus', context)).toBeGreaterThan(900);
      },
    );
  },
);
