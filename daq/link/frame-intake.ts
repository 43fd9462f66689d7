import { type DeviceFrame, decodeDeviceLine, type SkipReason } from '../../firmware-protocol/index.js';
import type { OpenPort } from '../ports/open-port.js';
import type { LinkStatistics } from './link-statistics.js';
import { readProtocolLines } from './protocol-lines.js';
import { sequenceAccount } from './sequence-account.js';

export type FrameListener = (frame: DeviceFrame) => void;

/** Decoded lines as they come, each counted once. */
export interface FrameIntake {
  /** @returns a function that ends the listening */
  listen(listener: FrameListener): () => void;
  /** Statistics count from here. */
  beginRun(): void;
  statistics(linesDroppedByDevice: number | null): LinkStatistics;
  bytesReceived(): number;
  /** Lines that were whole printable text, but none of the protocol's. */
  linesOfText(): number;
}

/**
 * Decodes what comes from a port and hands it on: sound lines to the listeners, in order, all others to the
 * statistics. A line whose sequence number has been seen already is counted and goes no further.
 */
export function frameIntake(port: OpenPort): FrameIntake {
  const listeners = new Set<FrameListener>();
  const sequence = sequenceAccount();
  let skipped: Partial<Record<SkipReason, number>> = {};
  let decoded = 0;
  let textLines = 0;
  let flooded_atStart = 0;

  const lines = readProtocolLines(port, (bytes, start, end) => {
    const frame = decodeDeviceLine(bytes, start, end);
    if (frame.type === 'skipped') {
      // Empty lines are harmless: banners begin with one.
      if (frame.reason === 'no-checksum') textLines++;
      if (frame.reason !== 'empty') skipped[frame.reason] = (skipped[frame.reason] ?? 0) + 1;
      return;
    }
    // The device's counter starts with its clock; the boot line is its first, number 0 or soon after.
    if (frame.type === 'event' && frame.event === 'boot') sequence.restart();
    decoded++;
    if (sequence.accept(frame.sequence, lastFourBytes(bytes, end)) === 'duplicate') return;
    for (const listener of listeners) listener(frame);
  });

  return {
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    beginRun() {
      sequence.beginCount();
      skipped = {};
      decoded = 0;
      flooded_atStart = lines.bytesFlooded();
    },
    statistics: (linesDroppedByDevice) => ({
      linesDecoded: decoded,
      linesMissing: sequence.missing(),
      linesDuplicated: sequence.duplicated(),
      linesSkipped: { ...skipped },
      linesDroppedByDevice,
      bytesFlooded: lines.bytesFlooded() - flooded_atStart,
    }),
    bytesReceived: lines.bytesReceived,
    linesOfText: () => textLines,
  };
}

/** The checksum as its digits stand in the line, as one number. */
function lastFourBytes(bytes: Uint8Array, end: number): number {
  return ((bytes[end - 4]! << 24) | (bytes[end - 3]! << 16) | (bytes[end - 2]! << 8) | bytes[end - 1]!) >>> 0;
}
