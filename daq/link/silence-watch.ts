import type { HostClock } from '../host-clock.js';

const LOOK_EVERY_MS = 250;
const QUIET_LOOKS = 4;

/**
 * Notices when a rig that should be sending has gone quiet for a second.
 * @param onSilence called once a run with the length of the silence in ms
 * @remarks counts looks instead of comparing times: a computer that was busy for a second finds its timers due
 *   before it has read what waited in the port meanwhile, and must not blame the rig for its own pause
 */
export function silenceWatch(clock: HostClock, onSilence: (silence_ms: number) => void) {
  let quietLooks = 0;
  let cancel = () => {};
  const look = () => {
    if (++quietLooks >= QUIET_LOOKS) onSilence(QUIET_LOOKS * LOOK_EVERY_MS);
    else cancel = clock.after(LOOK_EVERY_MS, look);
  };
  return {
    begin(): void {
      cancel();
      quietLooks = 0;
      cancel = clock.after(LOOK_EVERY_MS, look);
    },
    heard(): void {
      quietLooks = 0;
    },
    end: () => cancel(),
  };
}
