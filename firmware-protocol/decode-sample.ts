import { endOfField, int32, uint16, uint32 } from './fields.js';
import type { ChannelKind, SampleFrame } from './frames.js';

const COMMA = 0x2c;

/** The kind of sample a payload holds by its first letter; undefined when it is another line. */
export function sampleKind(bytes: Uint8Array, start: number): ChannelKind | undefined {
  if (bytes[start + 1] !== COMMA) return undefined;
  switch (bytes[start]) {
    case 0x46: // F
      return 'force';
    case 0x50: // P
      return 'position';
    case 0x54: // T
      return 'temperature';
    default:
      return undefined;
  }
}

/**
 * Reads a sample straight from its bytes: nearly all lines are samples, and the general way is twenty times slower.
 * It says exactly what the general way says; a test holds the two together.
 */
export function decodeSample(
  kind: ChannelKind,
  bytes: Uint8Array,
  start: number,
  end: number,
): SampleFrame | undefined {
  const sequenceEnd = endOfField(bytes, start + 2, end);
  const timeEnd = endOfField(bytes, sequenceEnd + 1, end);
  const sequence = uint16.read(bytes, start + 2, sequenceEnd);
  const deviceTime_us = uint32.read(bytes, sequenceEnd + 1, timeEnd);
  const counts = int32.read(bytes, timeEnd + 1, endOfField(bytes, timeEnd + 1, end));
  if (sequence === undefined || deviceTime_us === undefined || counts === undefined) return undefined;
  return { type: 'sample', kind, sequence, deviceTime_us, counts };
}
