import type { HostClock, Logbook } from '../../daq/index.js';

/** A recording at the command line makes its samples durable about as often. */
const LOOK_EVERY_MS = 1000;

/**
 * Tells when another program has written to the logbook, so that a recording made at the command line shows on every
 * page. What this program writes itself does not count.
 * @returns a function that ends the watch
 */
export function watchLogbook(
  logbook: Pick<Logbook, 'writesOfOthers'>,
  clock: HostClock,
  onWritten: () => void,
): () => void {
  let known = logbook.writesOfOthers();
  const look = () => {
    const now = logbook.writesOfOthers();
    if (now !== known) onWritten();
    known = now;
    cancel = clock.after(LOOK_EVERY_MS, look);
  };
  let cancel = clock.after(LOOK_EVERY_MS, look);
  return () => cancel();
}
