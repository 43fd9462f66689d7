import { Readable } from 'node:stream';
import { crc32, createDeflateRaw } from 'node:zlib';
import type { FileToWrite } from './export-bundle.js';

const VERSION_NEEDED = 20;
const DEFLATED = 8;
/** Sizes follow the content (bit 3), names are UTF-8 (bit 11). */
const FLAGS = 0x0808;
const MOST_BYTES = 0xffffffff;

interface Entry {
  readonly name: Buffer;
  readonly offset: number;
  crc: number;
  packed: number;
  size: number;
}

/**
 * Packs files into one ZIP archive that is sent as it is made: no more than a few blocks of a file are in memory.
 * @param modified the time that all files get, UTC
 * @throws RangeError beyond 4 GB, where the format would need another one; the archive is then cut short
 * @remarks source: APPNOTE.TXT 6.3.10, sections 4.3.7 (local header), 4.3.9 (descriptor), 4.3.12 (directory),
 *   4.3.16 (end)
 */
export async function* zipOf(files: Iterable<FileToWrite>, modified: Date): AsyncGenerator<Buffer> {
  const stamp = dosTime(modified);
  const entries: Entry[] = [];
  let offset = 0;
  const sent = (bytes: Buffer) => {
    offset += bytes.length;
    if (offset > MOST_BYTES) throw new RangeError('an archive of more than 4 GB');
    return bytes;
  };
  for (const { path, chunks } of files) {
    const entry: Entry = { name: Buffer.from(path), offset, crc: 0, packed: 0, size: 0 };
    entries.push(entry);
    yield sent(Buffer.concat([localHeader(entry, stamp), entry.name]));
    const content = Readable.from(counted(chunks, entry), { objectMode: false });
    for await (const packed of content.pipe(createDeflateRaw()) as AsyncIterable<Buffer>) {
      entry.packed += packed.length;
      yield sent(packed);
    }
    yield sent(fields('V', 0x08074b50, entry.crc, entry.packed, entry.size));
  }
  const directoryOffset = offset;
  for (const entry of entries) yield sent(Buffer.concat([directoryHeader(entry, stamp), entry.name]));
  const size = offset - directoryOffset;
  const { length } = entries;
  yield Buffer.concat([
    fields('V', 0x06054b50),
    fields('v', 0, 0, length, length),
    fields('V', size, directoryOffset),
    fields('v', 0),
  ]);
}

function* counted(chunks: FileToWrite['chunks'], entry: Entry): Generator<Buffer> {
  for (const chunk of chunks) {
    const bytes = Buffer.from(chunk as string);
    entry.crc = crc32(bytes, entry.crc);
    entry.size += bytes.length;
    // An empty chunk would end the stream.
    if (bytes.length > 0) yield bytes;
  }
}

function localHeader({ name }: Entry, stamp: number): Buffer {
  return Buffer.concat([
    fields('V', 0x04034b50),
    fields('v', VERSION_NEEDED, FLAGS, DEFLATED),
    fields('V', stamp, 0, 0, 0),
    fields('v', name.length, 0),
  ]);
}

function directoryHeader({ name, crc, packed, size, offset }: Entry, stamp: number): Buffer {
  return Buffer.concat([
    fields('V', 0x02014b50),
    fields('v', VERSION_NEEDED, VERSION_NEEDED, FLAGS, DEFLATED),
    fields('V', stamp, crc, packed, size),
    fields('v', name.length, 0, 0, 0, 0),
    fields('V', 0, offset),
  ]);
}

/** Numbers of 16 ('v') or 32 bits ('V'), little-endian. */
function fields(width: 'v' | 'V', ...values: number[]): Buffer {
  const bytes = Buffer.alloc(values.length * (width === 'v' ? 2 : 4));
  for (const [i, value] of values.entries())
    if (width === 'v') bytes.writeUInt16LE(value, 2 * i);
    else bytes.writeUInt32LE(value, 4 * i);
  return bytes;
}

/** Two-second steps since 1980, date above time (section 4.4.6). */
function dosTime(date: Date): number {
  const day = ((date.getUTCFullYear() - 1980) << 9) | ((date.getUTCMonth() + 1) << 5) | date.getUTCDate();
  const time = (date.getUTCHours() << 11) | (date.getUTCMinutes() << 5) | (date.getUTCSeconds() >> 1);
  return ((day << 16) | time) >>> 0;
}
