import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { conversation } from './machine/conversation.js';
import { programOf } from './machine/intel-hex.js';
import {
  compilerVersion,
  controllerFlags,
  controllerToolchain,
  firmwareFolder,
  here,
  outputOf,
  scratchFolder,
} from './toolchain.js';

const prebuilt = join(firmwareFolder, 'prebuilt');
const builtBy = readFileSync(join(prebuilt, 'COMPILER'), 'utf8').trim().replace('\n', ', ');
const version = controllerToolchain();
const names = readdirSync(prebuilt).flatMap((file) => /^(.+)\.hex$/.exec(file)?.[1] ?? []);
const textOf = (path: string) => readFileSync(path, 'utf8');

const rebuild =
  version === null
    ? `are not rebuilt here: no avr-g++ (they are by ${builtBy})`
    : version === builtBy
      ? `are what ${version} makes of the sources, byte for byte`
      : `are by ${builtBy}; ${version} makes others, within the size limits`;

describe('the prebuilt programs', () => {
  it('have the checksums they were published with', () => {
    const listed = textOf(join(prebuilt, 'SHA256SUMS')).trim().split('\n');
    const computed = names.map((name) => {
      const bytes = readFileSync(join(prebuilt, `${name}.hex`));
      return `${createHash('sha256').update(bytes).digest('hex')}  ${name}.hex`;
    });
    expect(listed.toSorted()).toEqual(computed.toSorted());
    expect(names.length).toBeGreaterThanOrEqual(11);
  });

  it.skipIf(!version)(rebuild, async () => {
    const target = version === builtBy ? 'verify' : 'all';
    const output = await outputOf('make', ['-j2', `OUT=${scratchFolder()}`, target]);
    for (const name of names)
      expect(output).toMatch(new RegExp(`^${name}: \\d+ bytes of program, \\d+ of RAM$`, 'm'));
    if (version === builtBy) expect(output).toContain('rebuilt, all equal');
  });

  it('are all there that the Makefile makes', () => {
    const [, made] = /^PROGRAMS := (.+)$/m.exec(textOf(join(firmwareFolder, 'Makefile')))!;
    expect(made!.split(' ').toSorted()).toEqual(names.toSorted());
  });
});

describe(
  version ? `the sources, compiled by ${version}` : 'the sources (no avr-g++ here: not compiled)',
  () => {
    it.skipIf(!version)('make a sketch as the hobby IDE compiles it, which runs', async () => {
      const folder = scratchFolder();
      const [elf, hex] = [join(folder, 'rig.elf'), join(folder, 'rig.hex')];
      await outputOf('avr-g++', [
        ...controllerFlags,
        // The IDE's core for this controller asks for C++11.
        '-std=gnu++11',
        '-I',
        join(firmwareFolder, 'src'),
        '-x',
        'c++',
        join(firmwareFolder, 'examples/rig/rig.ino'),
        join(here, 'host/ide-main.cpp'),
        '-o',
        elf,
      ]);
      await outputOf('avr-objcopy', ['-O', 'ihex', '-R', '.eeprom', elf, hex]);
      const { ask, listen, frames } = conversation({ program: textOf(hex), seed: 1 });
      listen(0.02);
      expect(ask({ type: 'identify', tag: 3 })).toMatchObject({ type: 'reply', tag: 3 });
      expect(frames.map(({ type }) => type)).toEqual(['event', 'identity', 'channel', 'channel', 'reply']);
    });

    const others = [
      ['avr-g++', ['-mmcu=atmega2560', '-fno-threadsafe-statics']],
      ['arm-none-eabi-g++', ['-mcpu=cortex-m0plus', '-mthumb', '-fno-exceptions', '-fno-rtti']],
    ] as const;
    for (const [compiler, flags] of others) {
      const found = compilerVersion(compiler);
      it.skipIf(!found)(
        found
          ? `compile for another family by ${found} (${flags[0]})`
          : `are not compiled for another family: no ${compiler}`,
        async () => {
          const output = join(scratchFolder(), 'main.o');
          await outputOf(compiler, [
            ...flags,
            ...['-std=c++14', '-Os', '-Wall', '-Wextra', '-Werror', '-I', join(here, 'host/stand-in')],
            ...[
              '-DRIG_POSITION=2',
              '-DRIG_THERMOMETER=1',
              '-DRIG_DRIVE=1',
              '-DRIG_WATCHDOG_BEGIN()=',
              '-DRIG_WATCHDOG_FEED()=',
              '-c',
            ],
            ...[join(firmwareFolder, 'main.cpp'), '-o', output],
          ]);
          expect(existsSync(output)).toBe(true);
        },
      );
    }
  },
);

describe('the reader of HEX files', () => {
  const good = textOf(join(prebuilt, 'slide.hex'));

  it('takes what the linker wrote', () => {
    const words = programOf(good);
    // The reset vector is a jump: JMP, then its address.
    expect(words[0]).toBe(0x940c);
    expect(words.length).toBe(16_384);
  });

  it.each([
    ['a damaged byte', good.replace(':100000000C', ':100000000D')],
    ['a cut record', good.replace(/^(:.{20}).*$/m, '$1')],
    ['a missing end', good.replace(':00000001FF', '')],
    ['data past the end of the memory', ':0280000000007E\n:00000001FF\n'],
  ])('refuses %s', (_what, text) => {
    expect(text).not.toBe(good);
    expect(() => programOf(text)).toThrow();
  });
});
