import { decodePayload, skipped } from './decode-payload.js';
import { openLine } from './envelope.js';
import type { HostCommand, SkippedLine } from './frames.js';
import { hostLines } from './host-lines.js';

const forms = new Map(hostLines.map((form) => [form.word, form]));

/**
 * Reads one line from a host, as a device or its simulation does.
 * @param bytes holds the line without its newline; a trailing carriage return is allowed
 * @param start index of the line's first byte, 0 unless told
 * @param end index after its last byte, the length unless told
 * @returns the command, or why the line is to be passed over; nothing in the bytes makes this throw
 */
export function decodeHostLine(bytes: Uint8Array, start = 0, end = bytes.length): HostCommand | SkippedLine {
  const opened = openLine(bytes, start, end);
  if (typeof opened === 'string') return skipped(opened);
  return decodePayload(forms, bytes, start, opened) as HostCommand | SkippedLine;
}
