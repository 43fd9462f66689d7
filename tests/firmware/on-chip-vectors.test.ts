import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { RefusalCode, SkipReason } from '../../firmware-protocol/index.js';
import { chip } from './machine/chip.js';
import { conversation } from './machine/conversation.js';
import { programOf } from './machine/intel-hex.js';
import { compilerVersion, controllerFlags, here, outputOf, scratchFolder } from './toolchain.js';
import { headerFile } from './vectors/vectors-header.js';

const version = compilerVersion('avr-g++');
const builtBy = readFileSync(join(here, '../../firmware-protocol/firmware/prebuilt/COMPILER'), 'utf8').trim();
const kept = join(here, 'on-chip/vectors.hex');

/** Text that a program sends until it falls silent. */
function textSentBy(hex: string): string {
  let text = '';
  const around = {
    byteSent(byte: number) {
      text += String.fromCharCode(byte);
    },
    outputsChanged() {},
    slideReading: () => 0,
    bus: [],
  };
  const program = chip(programOf(hex), around, 'power', null, 0, false);
  for (let cycles = 1e6, before = ''; text === '' || text !== before; cycles += 1e6) {
    before = text;
    program.runUntil(cycles);
    if (cycles > 64e6) throw new Error('the program says nothing');
  }
  return text;
}

/** Compiles the program of the vectors, and keeps it when it is told to. */
async function rebuilt(): Promise<string> {
  const folder = scratchFolder();
  const [elf, hex] = [
    join(folder, 'vectors.elf'),
    process.env.REWRITE_VECTORS === '1' ? kept : join(folder, 'v.hex'),
  ];
  await outputOf('avr-g++', [...controllerFlags, '-std=c++14', join(here, 'on-chip/vectors.cpp'), '-o', elf]);
  await outputOf('avr-objcopy', ['-O', 'ihex', '-R', '.eeprom', elf, hex]);
  return readFileSync(hex, 'utf8');
}

describe('the vectors on the simulated controller', () => {
  const all = readFileSync(headerFile, 'utf8').match(/^ {2}V\(/gm)!.length;

  it('come out right there, every one', () => {
    expect(textSentBy(readFileSync(kept, 'utf8'))).toBe(`checked: ${all}\n`);
  });

  it.skipIf(!version)(
    version === builtBy
      ? `are the program that ${version} makes`
      : version
        ? `come out right as ${version} compiles them, too`
        : 'are not compiled here: no avr-g++',
    async () => {
      const hex = await rebuilt();
      if (version === builtBy) expect(hex === readFileSync(kept, 'utf8')).toBe(true);
      else expect(textSentBy(hex)).toBe(`checked: ${all}\n`);
    },
  );
});

describe('the firmware, asked with the vectors', () => {
  const read = (name: string) => JSON.parse(readFileSync(new URL(`${name}.json`, headerFile), 'utf8')).host;

  it('obeys every host line that must be read', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    for (const { line, frame } of read('accept') as {
      line: string;
      frame: { type: string; tag: number };
    }[]) {
      talk.send(`${line}\n`);
      const answers = talk.listen(0.05).filter(({ type }) => type === 'reply' || type === 'refusal');
      if (frame.type === 'beat') expect(answers).toEqual([]);
      else expect(answers).toMatchObject([{ command: frame.type, tag: frame.tag }]);
    }
  });

  it('refuses every one that must be passed over, for the right reason, and does nothing', () => {
    const codeOf: Partial<Record<SkipReason, RefusalCode>> = {
      'unknown-type': 'unknown-command',
      malformed: 'bad-argument',
    };
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    for (const { line, reason } of read('reject') as { line: string; reason: SkipReason }[]) {
      talk.send(`${line}\n`);
      const refusal = {
        type: 'refusal',
        command: 'unreadable',
        tag: 0,
        code: codeOf[reason] ?? 'bad-checksum',
      };
      expect(talk.listen(0.02)).toMatchObject(reason === 'empty' ? [] : [refusal]);
    }
  });
});
