import {
  type DeviceFrame,
  decodeDeviceLine,
  LineSplitter,
  type SkippedLine,
} from '../../firmware-protocol/index.js';

/** What a device's byte stream gives when it arrives in these chunks. */
export function framesOf(chunks: Iterable<Uint8Array>): (DeviceFrame | SkippedLine)[] {
  const splitter = new LineSplitter();
  const frames: (DeviceFrame | SkippedLine)[] = [];
  for (const chunk of chunks)
    splitter.push(chunk, (bytes, start, end) => frames.push(decodeDeviceLine(bytes, start, end)));
  return frames;
}

/** Cuts bytes into chunks of the given lengths (at least 1), used over and over. */
export function* cut(bytes: Uint8Array, lengths: readonly number[]): Generator<Uint8Array> {
  for (let start = 0, i = 0; start < bytes.length; i++) {
    const end = start + lengths[i % lengths.length];
    yield bytes.slice(start, end);
    start = end;
  }
}
