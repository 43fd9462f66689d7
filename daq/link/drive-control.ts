import { DaqError } from '../daq-error.js';
import type { HostClock } from '../host-clock.js';
import type { CommandExchange } from './command-exchange.js';
import { expectDone } from './expect-done.js';
import type { RigIdentity } from './rig-identity.js';

/** Longest time between heartbeats; a lease may ask for more of them. */
const BEAT_EVERY_MS = 250;
/** From a standstill no faster than this at once, then twice as fast every so often. Common practice, no source. */
const SOFT_START_REV_PER_S = 0.5;
const SOFT_START_EVERY_MS = 250;

/** Says whether whoever started the drive is still there; false halts it. */
export type DriveHolder = () => boolean;

export interface DriveControl {
  isRunning(): boolean;
  setSpeed(speed_rev_per_s: number, isHeld?: DriveHolder): Promise<void>;
  halt(): Promise<void>;
  /** No more heartbeats: the device has stopped the drive, or will when its lease runs out. */
  letGo(): void;
}

/**
 * Runs the drive, with the heartbeats that keep its lease, at least four to a lease. Each heartbeat first asks whether
 * the drive is still held; if not, it is a HALT instead. A fast start goes up in steps.
 * @param onAbandoned told after such a HALT has been sent
 */
export function driveControl(
  exchange: CommandExchange,
  clock: HostClock,
  identity: () => RigIdentity,
  where: string,
  onAbandoned: (error: DaqError) => void,
): DriveControl {
  let cancelBeat: (() => void) | null = null;
  let halts = 0;
  let isHeld: DriveHolder = () => true;
  const beatEvery_ms = Math.min(BEAT_EVERY_MS, (identity().drive?.lease_ms ?? Infinity) / 4);
  const letGo = () => {
    cancelBeat?.();
    cancelBeat = null;
  };
  const beat = () => {
    if (!isHeld()) {
      halts++;
      letGo();
      exchange.tell({ type: 'halt' });
      onAbandoned(abandoned(where));
      return;
    }
    exchange.tell({ type: 'beat' });
    cancelBeat = clock.after(beatEvery_ms, beat);
  };

  async function ask(speed_mHz: number, halts_before: number): Promise<void> {
    // The drive may be told to stop at any time, and then stays so: a DRIVE asked again would follow the HALT, and
    // move a rig that has restarted meanwhile.
    const isWanted = () => halts === halts_before;
    const answer = await exchange.askWhile(isWanted, { type: 'drive', speed_mHz });
    if (answer) expectDone(answer, where);
    if (!cancelBeat && isWanted()) cancelBeat = clock.after(beatEvery_ms, beat);
  }

  return {
    isRunning: () => cancelBeat !== null,
    async setSpeed(speed_rev_per_s, holder = () => true) {
      const speed_mHz = speedInRange(speed_rev_per_s, identity(), where);
      isHeld = holder;
      if (!isHeld()) throw abandoned(where);
      const halts_before = halts;
      if (!cancelBeat)
        for (const step_mHz of softStart(speed_mHz, identity().drive!.speedMin_mHz)) {
          await ask(step_mHz, halts_before);
          await new Promise<void>((resolve) => clock.after(SOFT_START_EVERY_MS, resolve));
          if (halts !== halts_before) return;
        }
      await ask(speed_mHz, halts_before);
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

/** Speeds on the way up from a standstill, the wanted one left out. */
function softStart(speed_mHz: number, slowest_mHz: number): number[] {
  const steps: number[] = [];
  for (let step = Math.max(1000 * SOFT_START_REV_PER_S, slowest_mHz); step < speed_mHz; step *= 2)
    steps.push(step);
  return steps;
}

function abandoned(where: string): DaqError {
  return new DaqError('drive-abandoned', {
    where,
    found: 'nobody holding the drive any more, so it was halted',
    wanted: 'the page or command that started it, awake and in front until it ends',
  });
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
