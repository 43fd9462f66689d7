/**
 * The host's own time, for time-outs and heartbeats only; a sample's time is always the device's.
 * Injected so that a rig played in simulated time can drive the time-outs as well: a read from it advances
 * device time and fires whatever is due, as fast as the machine allows.
 */
export interface HostClock {
  /** Milliseconds since an arbitrary origin; never runs backwards. */
  now_ms(): number;
  /**
   * Runs `run` once, `delay_ms` from now, never before this call has returned.
   * @returns a function that cancels it; calling it later, or twice, does nothing
   */
  after(delay_ms: number, run: () => void): () => void;
}

/** The clock on the wall: `performance.now` and `setTimeout`. */
export const realHostClock: HostClock = {
  now_ms: () => performance.now(),
  after(delay_ms, run) {
    const timer = setTimeout(run, delay_ms);
    return () => clearTimeout(timer);
  },
};
