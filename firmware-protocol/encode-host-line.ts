import { sealLine } from './envelope.js';
import type { HostCommand } from './frames.js';
import { hostLines } from './host-lines.js';
import { writePayload } from './line-form.js';

const forms = new Map(hostLines.map((form) => [(form.implied as HostCommand).type, form]));

/**
 * Writes one command as a host sends it.
 * @returns the line with checksum and newline
 * @throws ProtocolError 'unencodable-field' for a tag, rate or speed that has no place on the wire
 */
export function encodeHostLine(command: HostCommand): Uint8Array {
  return sealLine(writePayload(forms.get(command.type)!, command));
}
