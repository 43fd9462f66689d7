/** What a line's sequence number says: it follows (perhaps after a gap), was seen already, or comes late. */
export type SequenceVerdict = 'next' | 'duplicate' | 'late';

/**
 * Counts sequence numbers (0..65535, one counter over all lines the device wanted to send) that never came.
 * @remarks a number up to half the range ahead is a gap. One behind is late if it is one of those missing, and takes
 *   back the loss that was counted for it; a duplicate if it came before with the same checksum; else the device began
 *   anew without being heard to say so. 65536 lines lost in a row would pass unseen: at 1000 lines/s that is a minute of
 *   silence, which ends a run long before.
 */
export function sequenceAccount() {
  const isMissing = new Uint8Array(0x10000);
  const checksums = new Uint32Array(0x10000);
  let last: number | null = null;
  let missing = 0;
  let duplicated = 0;
  return {
    /** @param checksum of the line, in whatever form; without it whatever came before is a duplicate */
    accept(sequence: number, checksum = 0): SequenceVerdict {
      const ahead = last === null ? 1 : (sequence - last) & 0xffff;
      if (ahead === 0 || ahead > 0x8000) {
        if (isMissing[sequence] === 1) {
          isMissing[sequence] = 0;
          checksums[sequence] = checksum;
          missing = Math.max(0, missing - 1);
          return 'late';
        }
        if (checksums[sequence] === checksum) {
          duplicated++;
          return 'duplicate';
        }
        checksums[sequence] = checksum;
        last = sequence;
        return 'next';
      }
      for (let skipped = 1; skipped < ahead; skipped++) isMissing[(last! + skipped) & 0xffff] = 1;
      isMissing[sequence] = 0;
      checksums[sequence] = checksum;
      missing += ahead - 1;
      last = sequence;
      return 'next';
    },
    /** Whatever number comes next follows. */
    restart(): void {
      last = null;
      isMissing.fill(0);
      checksums.fill(0);
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
