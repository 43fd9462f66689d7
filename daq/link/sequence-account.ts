/** What a line's sequence number says: it follows (perhaps after a gap), was seen already, or comes late. */
export type SequenceVerdict = 'next' | 'duplicate' | 'late';

/**
 * Counts sequence numbers (0..65535, one counter over all lines the device wanted to send) that never came.
 * @remarks a number up to half the range ahead is a gap; one behind is late and takes back the loss that was
 *   counted for it; the last one again is a duplicate. 65536 lines lost in a row would pass unseen: at 1000
 *   lines/s that is a minute of silence, which ends a run long before.
 */
export function sequenceAccount() {
  let last: number | null = null;
  let missing = 0;
  let duplicated = 0;
  return {
    accept(sequence: number): SequenceVerdict {
      const ahead = last === null ? 1 : (sequence - last) & 0xffff;
      if (ahead === 0) {
        duplicated++;
        return 'duplicate';
      }
      if (ahead > 0x8000) {
        missing = Math.max(0, missing - 1);
        return 'late';
      }
      missing += ahead - 1;
      last = sequence;
      return 'next';
    },
    /** Whatever number comes next follows. */
    restart(): void {
      last = null;
    },
    /** Counts start over; the next number is still expected to follow the last. */
    beginCount(): void {
      missing = 0;
      duplicated = 0;
    },
    missing: () => missing,
    duplicated: () => duplicated,
  };
}
