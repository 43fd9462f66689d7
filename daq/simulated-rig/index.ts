import type { HostClock } from '../host-clock.js';
import type { PortBinding } from '../ports/port-binding.js';
import { simulatedBinding, simulatedPortPath } from './binding.js';
import { type SimulatedBuildName, simulatedBuilds } from './builds.js';
import { device } from './device.js';
import type { SimulatedFault, SimulatedOpening } from './faults.js';
import { ownedRig } from './owned-rig.js';
import { type Pace, realPace, simulatedPace } from './pace.js';
import { playedRig } from './played-rig.js';
import { mountShock, type RemountSpread, usualRemountSpread } from './remount.js';
import type { RigHardware } from './rig-hardware.js';
import type { SimulatedShock } from './shock-parameters.js';
import { type PlayedTruth, truthOf } from './truth.js';
import { wire } from './wire.js';

export { simulatedPortPath } from './binding.js';
export { type SimulatedBuildName, simulatedBuilds } from './builds.js';
export type { SimulatedFault, SimulatedOpening } from './faults.js';
export { exactRig, ownedRig, simulatedRigCalibration } from './owned-rig.js';
export { playedOwner } from './played-owner.js';
export { noRemountSpread, type RemountSpread, usualRemountSpread } from './remount.js';
export type { RigHardware } from './rig-hardware.js';
export type { SimulatedShock } from './shock-parameters.js';
export { type SimulatedChannels, type SimulationOptions, simulateChannels } from './simulate-channels.js';
export { type TestPieceName, testPieces } from './test-pieces.js';
export { type PlayedTruth, truthOf } from './truth.js';

export interface SimulatedRigOptions {
  /** Draws the rig's faults, the remounts and all noise; the same seed and commands give the same bytes. */
  readonly seed: number;
  /** What is mounted first. */
  readonly build: SimulatedBuildName | SimulatedShock;
  readonly pace: 'simulated' | 'real';
  /** The rig's true values; drawn from the seed unless given. */
  readonly hardware?: RigHardware;
  readonly spread?: RemountSpread;
  /** Conversion rates that the device has from its boot on. */
  readonly rates?: { readonly force_Hz?: number; readonly position_Hz?: number };
  /** What opening the port does; a plain reset unless told. */
  readonly opening?: SimulatedOpening;
  readonly faults?: readonly SimulatedFault[];
  /** Reading of the device's clock when it boots, µs, below 2³²; to see it wrap. */
  readonly clockAtBoot_us?: number;
}

export interface SimulatedRig {
  readonly binding: PortBinding;
  readonly path: string;
  /** Time for the host's time-outs; the wall's in real pace. */
  readonly clock: HostClock;
  /**
   * Takes the shock off and puts this build on.
   * @param mountNumber which mounting; counted up from 1 per build unless given
   * @throws RangeError while the drive is asked to turn
   */
  mount(build: SimulatedBuildName | SimulatedShock, mountNumber?: number): void;
  /** Hangs a mass on the cell as its owner would, in place of what hung there; 0 takes it off. For guided calibration. */
  hang(mass_kg: number): void;
  /** Turns the halted crank by hand until the slide stands at a true position from full extension. */
  holdAt(position_m: number): void;
  /** Re-arms the drive by hand, as after a trip. */
  rearm(): void;
  /** What is played now. Only for tests and honesty checks. */
  truth(): PlayedTruth;
  /** Crank speed asked of the drive now, rev/s; 0 when it stands or brakes. */
  readonly commanded_rev_per_s: number;
}

/**
 * A rig without hardware, behind a port as a real one would be: `new SerialPort({ path, baudRate, binding })`.
 * @returns port, clock and the hands that a real rig's owner has
 */
export function simulatedRig(options: SimulatedRigOptions): SimulatedRig {
  const { seed } = options;
  const hardware = withRates(options.hardware ?? ownedRig(seed), options.rates);
  const timesMounted = new Map<string, number>();

  function mounting(build: SimulatedBuildName | SimulatedShock, wanted?: number) {
    const shock = typeof build === 'string' ? simulatedBuilds[build] : build;
    const mountNumber = wanted ?? (timesMounted.get(shock.name) ?? 0) + 1;
    timesMounted.set(shock.name, mountNumber);
    return mountShock(shock, seed, mountNumber, hardware.room_degC, options.spread ?? usualRemountSpread);
  }

  let mounted = mounting(options.build);
  const rig = playedRig(hardware, mounted, seed);
  const line = wire(250_000);
  const controller = device(rig, hardware, line, {
    seed,
    opening: options.opening ?? 'reset',
    faults: options.faults ?? [],
    clockAtBoot_us: options.clockAtBoot_us ?? 0,
  });
  const now_s = () => rig.time_s;
  const binding = simulatedBinding(controller, line, now_s, () => pace);
  const pace: Pace =
    options.pace === 'real'
      ? realPace(controller, now_s)
      : simulatedPace(controller, now_s, () => binding.isOpen);

  return {
    binding,
    path: simulatedPortPath,
    clock: pace.clock,
    mount(build, mountNumber) {
      if (rig.drive.commanded_rev_per_s !== 0)
        throw new RangeError('found a turning drive, wanted a halted one, to take the shock off');
      while (!rig.drive.atRest) controller.playUntil(rig.time_s + 0.01);
      mounted = mounting(build, mountNumber);
      rig.mount(mounted);
      pace.wake();
    },
    hang(mass_kg) {
      rig.hang(mass_kg);
      pace.wake();
    },
    holdAt(position_m) {
      if (rig.drive.commanded_rev_per_s !== 0)
        throw new RangeError('found a turning drive, wanted a halted one, to turn the crank by hand');
      while (!rig.drive.atRest) controller.playUntil(rig.time_s + 0.01);
      rig.turnTo(position_m);
      pace.wake();
    },
    rearm() {
      controller.rearm();
      pace.wake();
    },
    truth: () => truthOf(mounted, hardware),
    get commanded_rev_per_s() {
      return rig.drive.commanded_rev_per_s;
    },
  };
}

function withRates(hardware: RigHardware, rates: SimulatedRigOptions['rates']): RigHardware {
  const { cell, position } = hardware;
  return {
    ...hardware,
    cell: { ...cell, declared_Hz: rates?.force_Hz ?? cell.declared_Hz },
    position: { ...position, declared_Hz: rates?.position_Hz ?? position.declared_Hz },
  };
}
