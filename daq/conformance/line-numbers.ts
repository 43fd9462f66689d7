import type { HeardLine } from './rig-conversation.js';

/** What the numbers of some lines say. */
export interface LineNumbers {
  /** Numbers left out, line by line: how many up to and with each line. */
  readonly missingUpTo: readonly number[];
  readonly missing: number;
  /** Lines with the number of the one before. */
  readonly doubled: number;
  /** Lines with a number from before that. */
  readonly backward: number;
}

const RANGE = 0x10000;

/**
 * Counts along the numbers of lines in the order in which they came. A boot event begins anew; lines that could not be
 * read have no number, and leave a gap.
 */
export function lineNumbers(lines: readonly HeardLine[]): LineNumbers {
  let last: number | null = null;
  let [missing, doubled, backward] = [0, 0, 0];
  const missingUpTo = lines.map(({ frame }) => {
    if (frame.type === 'skipped') return missing;
    const isBoot = frame.type === 'event' && frame.event === 'boot';
    const ahead = last === null || isBoot ? 1 : (frame.sequence - last + RANGE) % RANGE;
    last = frame.sequence;
    if (ahead === 0) doubled++;
    else if (ahead > RANGE / 2) backward++;
    else missing += ahead - 1;
    return missing;
  });
  return { missingUpTo, missing, doubled, backward };
}
