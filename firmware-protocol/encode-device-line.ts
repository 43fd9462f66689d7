import { deviceLines } from './device-lines.js';
import { sealLine } from './envelope.js';
import type { DeviceFrame } from './frames.js';
import { writePayload } from './line-form.js';

const forms = new Map(deviceLines.map((form) => [key(form.implied as DeviceFrame), form]));

/**
 * Writes one line as a device sends it.
 * @returns the line with checksum and newline
 * @throws ProtocolError 'unencodable-field' for a value that has no place on the wire (out of range, not an integer,
 *   a text with other characters); 'line-too-long' for a reply with too many fields
 */
export function encodeDeviceLine(frame: DeviceFrame): Uint8Array {
  return sealLine(writePayload(forms.get(key(frame))!, frame));
}

/** Samples of each kind have a line of their own. */
function key(frame: DeviceFrame): string {
  return frame.type === 'sample' ? frame.kind : frame.type;
}
