import { describe, expect, it } from 'vitest';
import { crc16Ibm3740 } from '../../firmware-protocol/index.js';
import { accept, bytesOf, checksumVectors } from './vectors.js';

describe('checksum', () => {
  it('gives 29B1 for 123456789, as the catalogue of CRC algorithms publishes', () => {
    expect(crc16Ibm3740(bytesOf('123456789')).toString(16)).toBe('29b1');
  });

  it.each(checksumVectors)('agrees on $name', ({ text, crc }) => {
    expect(crc16Ibm3740(bytesOf(text))).toBe(Number.parseInt(crc, 16));
  });

  it('leaves no residue when a payload is followed by its own checksum, high byte first', () => {
    for (const { line } of [...accept.device, ...accept.host]) {
      const [payload, digits] = line.split('*');
      const crc = Number.parseInt(digits, 16);
      const whole = [...bytesOf(payload), crc >> 8, crc & 0xff];
      expect(crc16Ibm3740(Uint8Array.from(whole))).toBe(0);
    }
  });

  it('covers exactly the bytes from start to end', () => {
    expect(crc16Ibm3740(bytesOf('xx123456789yy'), 2, 11)).toBe(0x29b1);
  });
});
