import { setImmediate as nextTurn, setTimeout as pause } from 'node:timers/promises';
import { type HostClock, realHostClock } from '../host-clock.js';
import type { Device } from './device.js';
import { simulatedClock } from './simulated-clock.js';

/** How device time goes on while a host reads. */
export interface Pace {
  readonly clock: HostClock;
  /** Lets the rest of the process have its turn, then lets at most 10 ms of device time pass. */
  advance(): Promise<void>;
  /** Something was written, opened, closed or mounted. */
  wake(): void;
}

/** Most device time that passes in one turn, s. */
const turn_s = 0.01;

/**
 * As fast as the machine allows. Time passes when the port is read; while nothing is under way and nobody waits for a
 * time, it stands still. Without an open port it passes as long as someone waits for a time.
 * @param device what moves
 * @param now_s its true time
 * @param isOpen whether someone may be reading
 */
export function simulatedPace(device: Device, now_s: () => number, isOpen: () => boolean): Pace {
  let wake: () => void = () => {};
  let pumping = false;
  const clock = simulatedClock(
    () => now_s() * 1000,
    () => {
      wake();
      if (!isOpen()) void pump();
    },
  );

  function turn() {
    device.playUntil(Math.min(now_s() + turn_s, Math.max(now_s(), clock.nextDue_ms / 1000)));
    clock.fire();
  }

  async function pump() {
    if (pumping) return;
    pumping = true;
    await nextTurn();
    while (!isOpen() && clock.nextDue_ms < Number.POSITIVE_INFINITY) {
      turn();
      await nextTurn();
    }
    pumping = false;
  }

  return {
    clock,
    async advance() {
      if (device.quiet && clock.nextDue_ms === Number.POSITIVE_INFINITY)
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      await nextTurn();
      if (isOpen()) turn();
    },
    wake: () => {
      wake();
      if (!isOpen()) void pump();
    },
  };
}

/**
 * Side by side with the clock on the wall.
 * @param device what moves
 * @param now_s its true time
 * Notes: a machine that falls behind catches up in turns of 10 ms, without loss.
 */
export function realPace(device: Device, now_s: () => number): Pace {
  const origin_ms = realHostClock.now_ms() - now_s() * 1000;
  return {
    clock: realHostClock,
    async advance() {
      const wall_s = (realHostClock.now_ms() - origin_ms) / 1000;
      if (wall_s - now_s() < turn_s / 2) await pause(4);
      else await nextTurn();
      device.playUntil(Math.min(now_s() + turn_s, (realHostClock.now_ms() - origin_ms) / 1000));
    },
    wake() {},
  };
}
