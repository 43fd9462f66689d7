import { describe, expect, it } from 'vitest';
import { decodeDeviceLine, decodeHostLine, LineSplitter } from '../../firmware-protocol/index.js';
import { accept, bytesOf } from './vectors.js';

/**
 * Puts every wrong value at every place of a line, and sends newlines after it.
 * @returns what was read then, apart from skips and from what the sound line says
 */
function misread(line: string, decode: (bytes: Uint8Array, start: number, end: number) => object): string[] {
  const wrong: string[] = [];
  const bytes = bytesOf(`${line}\n\n`);
  const meant = JSON.stringify(decode(bytes, 0, line.length));
  const splitter = new LineSplitter();
  for (let at = 0; at <= line.length; at++) {
    const right = bytes[at];
    for (let value = 0; value < 256; value++) {
      if (value === right) continue;
      bytes[at] = value;
      splitter.push(bytes, (b, start, end) => {
        const read = JSON.stringify(decode(b, start, end));
        if (!read.startsWith('{"type":"skipped"') && read !== meant) wrong.push(`${line} → ${read}`);
      });
    }
    bytes[at] = right;
  }
  return wrong;
}

describe('one damaged byte', () => {
  it('never turns a device line into another one', () => {
    expect(accept.device.flatMap(({ line }) => misread(line, decodeDeviceLine))).toEqual([]);
  });

  it('never turns a command into another one', () => {
    expect(accept.host.flatMap(({ line }) => misread(line, decodeHostLine))).toEqual([]);
  });

  it('is noticed wherever it falls, so that the line is passed over', () => {
    for (const { line } of accept.device)
      for (let at = 0; at < line.length; at++) {
        const bytes = bytesOf(line);
        bytes[at] ^= 0x01;
        expect(decodeDeviceLine(bytes).type).toBe('skipped');
      }
  });
});
