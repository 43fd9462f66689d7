/** A longer step needs the next line to confirm it: without a checksum, a digit may have been damaged. */
const LONGEST_STEP_US = 1_000_000;

/**
 * For lines without a checksum: which times to believe.
 * @returns a function that takes each line's 32-bit time in turn, and says whether it goes forward by up to a second,
 *   from the last one believed or from the one just doubted
 */
export function believableTimes(): (deviceTime_us: number) => boolean {
  let last_us: number | null = null;
  let doubtful_us: number | null = null;
  const follows = (time_us: number, before_us: number | null) => {
    const step_us = before_us === null ? 0 : (time_us - before_us) | 0;
    return step_us > 0 && step_us <= LONGEST_STEP_US;
  };
  return (time_us) => {
    const isSound = last_us === null || follows(time_us, last_us) || follows(time_us, doubtful_us);
    doubtful_us = isSound ? null : time_us;
    if (isSound) last_us = time_us;
    return isSound;
  };
}
