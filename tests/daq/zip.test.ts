import { crc32, inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { zipOf } from '../../daq/index.js';

async function zipped(files: { path: string; chunks: Iterable<string | Uint8Array> }[]): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of zipOf(files, new Date('2026-11-25T18:30:44Z'))) parts.push(part);
  return Buffer.concat(parts);
}

/** Reads an archive from its end, as APPNOTE.TXT section 4.3 describes it. */
function unzipped(bytes: Buffer) {
  const end = bytes.lastIndexOf(Buffer.from('PK\x05\x06', 'latin1'));
  let at = bytes.readUInt32LE(end + 16);
  return Array.from({ length: bytes.readUInt16LE(end + 10) }, () => {
    expect(bytes.readUInt32LE(at)).toBe(0x02014b50);
    const [crc, packed, size] = [16, 20, 24].map((field) => bytes.readUInt32LE(at + field)) as [
      number,
      number,
      number,
    ];
    const nameLength = bytes.readUInt16LE(at + 28);
    const local = bytes.readUInt32LE(at + 42);
    const path = bytes.toString('utf8', at + 46, at + 46 + nameLength);
    at += 46 + nameLength;
    expect(bytes.readUInt32LE(local)).toBe(0x04034b50);
    const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
    const content = inflateRawSync(bytes.subarray(start, start + packed));
    expect(content.length).toBe(size);
    expect(crc32(content)).toBe(crc);
    expect(bytes.readUInt32LE(start + packed)).toBe(0x08074b50);
    return { path, content: content.toString('utf8') };
  });
}

describe('an archive', () => {
  it('gives back every file by its name, empty ones and such in pieces too', async () => {
    const lines = Array.from({ length: 50_000 }, (_, i) => `${i},${i / 7}\n`);
    const files = [
      { path: 'recording-1/force.csv', chunks: lines },
      { path: 'empty.csv', chunks: ['', ''] },
      { path: 'photos/dämpfer.jpg', chunks: [Uint8Array.of(65, 66), '', 'c'] },
    ];
    expect(unzipped(await zipped(files))).toEqual([
      { path: 'recording-1/force.csv', content: lines.join('') },
      { path: 'empty.csv', content: '' },
      { path: 'photos/dämpfer.jpg', content: 'ABc' },
    ]);
  });

  it('of nothing is one all the same', async () => {
    expect(unzipped(await zipped([]))).toEqual([]);
  });
});
