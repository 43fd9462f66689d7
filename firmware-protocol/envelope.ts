import { crc16Ibm3740 } from './checksum.js';
import { MAX_LINE_BYTES, type SkipReason } from './frames.js';
import { ProtocolError } from './protocol-error.js';

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const STAR = 0x2a;
const CHECKSUM_BYTES = 5;
const HEX = '0123456789ABCDEF';

/**
 * Checks what all lines share: length, characters, `*` and checksum.
 * @returns the index after the payload's last byte, or why the line is no line
 */
export function openLine(bytes: Uint8Array, start: number, end: number): number | SkipReason {
  const length = end - start;
  const close = length > 0 && bytes[end - 1] === RETURN ? end - 1 : end;
  if (close === start) return 'empty';
  if (length > MAX_LINE_BYTES) return 'too-long';
  let star = close;
  for (let i = start; i < close; i++) {
    const byte = bytes[i];
    if (byte < 0x20 || byte > 0x7e) return 'bad-character';
    if (byte === STAR && star === close) star = i;
  }
  if (star !== close - CHECKSUM_BYTES) return 'no-checksum';
  const crc = crc16Ibm3740(bytes, start, star);
  for (let digit = 1; digit < CHECKSUM_BYTES; digit++)
    if (bytes[star + digit] !== hexDigit(crc, digit)) return 'bad-checksum';
  return star;
}

/**
 * Makes a payload into a line.
 * @param payload printable ASCII without `*`
 * @returns the payload, `*`, its checksum and a newline
 * @throws ProtocolError 'line-too-long'
 */
export function sealLine(payload: string): Uint8Array {
  const star = payload.length;
  const length = star + CHECKSUM_BYTES;
  if (length > MAX_LINE_BYTES)
    throw new ProtocolError(
      'line-too-long',
      `a line of ${length} bytes where ${MAX_LINE_BYTES} are allowed: ${payload}`,
    );
  const line = new Uint8Array(length + 1);
  for (let i = 0; i < star; i++) line[i] = payload.charCodeAt(i);
  const crc = crc16Ibm3740(line, 0, star);
  line[star] = STAR;
  for (let digit = 1; digit < CHECKSUM_BYTES; digit++) line[star + digit] = hexDigit(crc, digit);
  line[length] = NEWLINE;
  return line;
}

/** ASCII code of the first (1) to fourth (4) hexadecimal digit of a checksum. */
function hexDigit(crc: number, digit: number): number {
  return HEX.charCodeAt((crc >> (16 - 4 * digit)) & 0xf);
}
