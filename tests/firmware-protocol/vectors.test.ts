import { describe, expect, it } from 'vitest';
import {
  decodeDeviceLine,
  decodeHostLine,
  encodeDeviceLine,
  encodeHostLine,
} from '../../firmware-protocol/index.js';
import { cut, framesOf } from './split.js';
import { accept, bytesOf, bytesOfHex, reject, streams, textOf } from './vectors.js';

describe('lines that must be read', () => {
  it.each(accept.device)('device: $name', ({ line, frame }) => {
    expect(decodeDeviceLine(bytesOf(line))).toEqual(frame);
  });

  it.each(accept.host)('host: $name', ({ line, frame }) => {
    expect(decodeHostLine(bytesOf(line))).toEqual(frame);
  });

  it('are read in place, wherever they lie in a larger buffer', () => {
    for (const { line, frame } of accept.device)
      expect(decodeDeviceLine(bytesOf(`F,1,2${line}3,4`), 5, 5 + line.length)).toEqual(frame);
    for (const { line, frame } of accept.host)
      expect(decodeHostLine(bytesOf(`ID,${line},1`), 3, 3 + line.length)).toEqual(frame);
  });

  it('are what encoding their frames gives, byte for byte, with a newline', () => {
    for (const { line, frame, canonical } of accept.device)
      if (canonical !== false) expect(textOf(encodeDeviceLine(frame))).toBe(`${line}\n`);
    for (const { line, frame, canonical } of accept.host)
      if (canonical !== false) expect(textOf(encodeHostLine(frame))).toBe(`${line}\n`);
  });
});

describe('lines that must be passed over', () => {
  it.each(reject.device)('device: $name ($reason)', ({ line, reason }) => {
    expect(decodeDeviceLine(bytesOf(line))).toEqual({ type: 'skipped', reason });
  });

  it.each(reject.host)('host: $name ($reason)', ({ line, reason }) => {
    expect(decodeHostLine(bytesOf(line))).toEqual({ type: 'skipped', reason });
  });
});

describe('byte streams', () => {
  it.each(streams)('$name', ({ stream_hex, results }) => {
    const bytes = bytesOfHex(stream_hex);
    expect(framesOf([bytes])).toEqual(results);
    expect(framesOf(cut(bytes, [1]))).toEqual(results);
    for (let first = 1; first < bytes.length; first++)
      expect(framesOf(cut(bytes, [first, bytes.length]))).toEqual(results);
  });
});
