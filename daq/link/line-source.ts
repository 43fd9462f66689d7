import { Transform } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import type { OpenPort } from '../ports/open-port.js';

/** Bytes without a newline after which a line is given up; several times the longest line of the protocol. */
const FLOOD_BYTES = 1024;

/** Without an encoding the parser hands on bytes; in object mode one chunk is one line, empty ones included. */
const BYTES_NOT_TEXT = { encoding: undefined, readableObjectMode: true } as object;

export interface LineSource {
  /** Bytes received, of whatever kind. */
  bytesReceived(): number;
  /** Bytes thrown away because no newline came. */
  bytesFlooded(): number;
}

/**
 * Reads a port line by line, in bounded memory.
 * @param onLine called with each line without its newline; the bytes are only borrowed
 */
export function readLines(port: OpenPort, onLine: (line: Uint8Array) => void): LineSource {
  let received = 0;
  let flooded = 0;
  let withoutNewline = 0;
  // The line parser keeps everything since the last newline, so a device that never sends one would fill the
  // memory. What passes here of such a line is still too long to decode and is counted as one line skipped.
  const guard = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      received += chunk.length;
      const newline = chunk.lastIndexOf(0x0a);
      if (newline < 0 && withoutNewline > FLOOD_BYTES) {
        flooded += chunk.length;
        done();
        return;
      }
      withoutNewline = newline < 0 ? withoutNewline + chunk.length : chunk.length - 1 - newline;
      done(null, chunk);
    },
  });
  const lines = new ReadlineParser({ delimiter: '\n', ...BYTES_NOT_TEXT });
  lines.on('data', onLine);
  port.pipe(guard).pipe(lines);
  return { bytesReceived: () => received, bytesFlooded: () => flooded };
}
