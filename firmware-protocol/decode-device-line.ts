import { decodePayload, skipped } from './decode-payload.js';
import { decodeSample, sampleKind } from './decode-sample.js';
import { deviceLines } from './device-lines.js';
import { openLine } from './envelope.js';
import type { DeviceFrame, SkippedLine } from './frames.js';

const forms = new Map(deviceLines.map((form) => [form.word, form]));

/**
 * Reads one line from a device.
 * @param bytes holds the line without its newline; a trailing carriage return is allowed
 * @param start index of the line's first byte, 0 unless told
 * @param end index after its last byte, the length unless told
 * @returns the frame, or why the line is to be passed over; nothing in the bytes makes this throw
 */
export function decodeDeviceLine(
  bytes: Uint8Array,
  start = 0,
  end = bytes.length,
): DeviceFrame | SkippedLine {
  const opened = openLine(bytes, start, end);
  if (typeof opened === 'string') return skipped(opened);
  const kind = sampleKind(bytes, start);
  if (kind) return decodeSample(kind, bytes, start, opened) ?? skipped('malformed');
  return decodePayload(forms, bytes, start, opened) as DeviceFrame | SkippedLine;
}
