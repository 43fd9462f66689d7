import { readFileSync } from 'node:fs';
import type { DeviceFrame, HostCommand, SkippedLine, SkipReason } from '../../firmware-protocol/index.js';

interface AcceptVector<Frame> {
  readonly name: string;
  readonly line: string;
  readonly frame: Frame;
  readonly canonical?: false;
}

interface RejectVector {
  readonly name: string;
  readonly reason: SkipReason;
  readonly line: string;
}

const room = new URL('../../firmware-protocol/', import.meta.url);
export const roomText = (path: string): string => readFileSync(new URL(path, room), 'utf8');
const vectors = (name: string) => JSON.parse(roomText(`vectors/${name}.json`));

export const checksumVectors: readonly { name: string; text: string; crc: string }[] =
  vectors('checksum').vectors;
export const accept: {
  readonly device: readonly AcceptVector<DeviceFrame>[];
  readonly host: readonly AcceptVector<HostCommand>[];
} = vectors('accept');
export const reject: { readonly device: readonly RejectVector[]; readonly host: readonly RejectVector[] } =
  vectors('reject');
export const streams: readonly {
  name: string;
  stream_hex: string;
  results: readonly (DeviceFrame | SkippedLine)[];
}[] = vectors('resynchronise').streams;

/** Each character is one byte. */
export const bytesOf = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
export const textOf = (bytes: Uint8Array): string => String.fromCharCode(...bytes);
export const bytesOfHex = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex, 'hex'));

/** A payload as a line without its newline, its checksum computed bit by bit: no table, nothing of the room under test. */
export function seal(payload: string): string {
  let crc = 0xffff;
  for (const byte of bytesOf(payload))
    for (let bit = 7; bit >= 0; bit--)
      crc = ((crc << 1) & 0xffff) ^ (((crc >> 15) ^ (byte >> bit)) & 1 ? 0x1021 : 0);
  return `${payload}*${crc.toString(16).toUpperCase().padStart(4, '0')}`;
}
