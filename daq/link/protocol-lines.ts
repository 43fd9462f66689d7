import { type LineListener, LineSplitter } from '../../firmware-protocol/index.js';
import type { OpenPort } from '../ports/open-port.js';
import type { LineSource } from './line-source.js';

/** Bytes without a newline after which a line is no accident; several times the longest line of the protocol. */
const FLOOD_BYTES = 1024;

/**
 * Reads a port line by line with the protocol's own splitter, which keeps no more than a line and hands lines on where
 * they lie: at hundreds of thousands of lines a second, the stream of objects that a general parser makes costs more
 * than checking them does.
 */
export function readProtocolLines(port: OpenPort, onLine: LineListener): LineSource {
  const splitter = new LineSplitter();
  let received = 0;
  let flooded = 0;
  let withoutNewline = 0;
  port.on('data', (chunk: Buffer) => {
    received += chunk.length;
    const newline = chunk.lastIndexOf(0x0a);
    if (newline < 0 && withoutNewline > FLOOD_BYTES) flooded += chunk.length;
    withoutNewline = newline < 0 ? withoutNewline + chunk.length : chunk.length - 1 - newline;
    splitter.push(chunk, onLine);
  });
  return { bytesReceived: () => received, bytesFlooded: () => flooded };
}
