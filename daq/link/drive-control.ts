import { DaqError } from '../daq-error.js';
import type { HostClock } from '../host-clock.js';
import type { CommandExchange } from './command-exchange.js';
import { expectDone } from './expect-done.js';
import type { RigIdentity } from './rig-identity.js';

/** Longest time between heartbeats; a lease may ask for more of them. */
const BEAT_EVERY_MS = 300;

export interface DriveControl {
  isRunning(): boolean;
  setSpeed(speed_rev_per_s: number): Promise<void>;
  halt(): Promise<void>;
  /** No more heartbeats: the device has stopped the drive, or will when its lease runs out. */
  letGo(): void;
}

/** Runs the drive, with the heartbeats that keep its lease, four to a lease. */
export function driveControl(
  exchange: CommandExchange,
  clock: HostClock,
  identity: () => RigIdentity,
  where: string,
): DriveControl {
  let cancelBeat: (() => void) | null = null;
  let halts = 0;
  const beatEvery_ms = Math.min(BEAT_EVERY_MS, (identity().drive?.lease_ms ?? Infinity) / 4);
  const letGo = () => {
    cancelBeat?.();
    cancelBeat = null;
  };
  const beat = () => {
    exchange.tell({ type: 'beat' });
    cancelBeat = clock.after(beatEvery_ms, beat);
  };

  return {
    isRunning: () => cancelBeat !== null,
    async setSpeed(speed_rev_per_s) {
      const speed_mHz = speedInRange(speed_rev_per_s, identity(), where);
      const halts_before = halts;
      expectDone(await exchange.ask({ type: 'drive', speed_mHz }), where);
      // Halted while this waited: the drive may be told to stop at any time, and then stays so.
      if (!cancelBeat && halts === halts_before) cancelBeat = clock.after(beatEvery_ms, beat);
    },
    async halt() {
      halts++;
      letGo();
      // Once without waiting for the turn of other commands, then again to hear that it was done.
      exchange.tell({ type: 'halt' });
      expectDone(await exchange.ask({ type: 'halt' }), where, 'no-drive');
    },
    letGo,
  };
}

/**
 * A crank speed in the protocol's unit.
 * @throws DaqError 'no-drive', 'speed-out-of-range'
 */
export function speedInRange(
  speed_rev_per_s: number,
  { drive, rigName }: RigIdentity,
  where: string,
): number {
  if (!drive)
    throw new DaqError('no-drive', {
      where,
      found: `rig '${rigName}', which has no drive`,
      wanted: 'a drive, or a procedure for a rig that is moved by hand',
    });
  const speed_mHz = Math.round(speed_rev_per_s * 1000);
  if (!(speed_mHz >= drive.speedMin_mHz && speed_mHz <= drive.speedMax_mHz))
    throw new DaqError('speed-out-of-range', {
      where,
      found: `a crank speed of ${speed_rev_per_s} rev/s`,
      wanted: `${drive.speedMin_mHz / 1000} to ${drive.speedMax_mHz / 1000} rev/s, which is what rig '${rigName}' can do`,
    });
  return speed_mHz;
}
