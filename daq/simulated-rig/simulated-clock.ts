import type { HostClock } from '../host-clock.js';

/** A host clock that shows the rig's time and fires when told how far that has come. */
export interface SimulatedClock extends HostClock {
  /** When the next timer is due, ms; infinite without one. */
  readonly nextDue_ms: number;
  /** Runs all timers due by now, in the order of their times. */
  fire(): void;
}

interface Timer {
  readonly due_ms: number;
  readonly run: () => void;
}

/**
 * Makes a clock from the rig's time.
 * @param now_ms the rig's true time
 * @param onTimer called when a timer was set, so that whoever moves time can wake up
 */
export function simulatedClock(now_ms: () => number, onTimer: () => void): SimulatedClock {
  const timers = new Set<Timer>();

  function first(): Timer | undefined {
    let earliest: Timer | undefined;
    // A set keeps the order of setting, so equal times fire in that order.
    for (const timer of timers) if (!earliest || timer.due_ms < earliest.due_ms) earliest = timer;
    return earliest;
  }

  return {
    now_ms,
    after(delay_ms, run) {
      const timer = { due_ms: now_ms() + delay_ms, run };
      timers.add(timer);
      onTimer();
      return () => void timers.delete(timer);
    },
    get nextDue_ms() {
      return first()?.due_ms ?? Number.POSITIVE_INFINITY;
    },
    fire() {
      for (let timer = first(); timer && timer.due_ms <= now_ms(); timer = first()) {
        timers.delete(timer);
        timer.run();
      }
    },
  };
}
