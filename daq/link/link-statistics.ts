import type { SkipReason } from '../../firmware-protocol/index.js';

/** How well the line worked during a run. */
export interface LinkStatistics {
  /** Lines that decoded, of any type. */
  readonly linesDecoded: number;
  /** Sequence numbers that never came: lost on the way, or dropped by the device itself. */
  readonly linesMissing: number;
  readonly linesDuplicated: number;
  /** Lines passed over, by reason; a damaged line is also one of those missing. */
  readonly linesSkipped: Readonly<Partial<Record<SkipReason, number>>>;
  /** What the device said it had dropped (its answer to stop), null where it did not say. */
  readonly linesDroppedByDevice: number | null;
  /** Bytes thrown away because no newline came. */
  readonly bytesFlooded: number;
}
