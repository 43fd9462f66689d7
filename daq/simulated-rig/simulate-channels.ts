import { ownedRig, simulatedRigCalibration } from './owned-rig.js';
import { playedRig } from './played-rig.js';
import { randomStream } from './random.js';
import { type MountedShock, mountShock, type RemountSpread, usualRemountSpread } from './remount.js';
import type { RigHardware } from './rig-hardware.js';
import type { SimulatedShock } from './shock-parameters.js';
import { stamps } from './stamps.js';

export interface SimulationOptions {
  readonly shock: SimulatedShock;
  readonly seed: number;
  /** Crank speeds one after another; the soft start happens inside a step's duration. */
  readonly script: readonly { readonly speed_rev_per_s: number; readonly duration_s: number }[];
  /** The rig to play; one drawn from the seed unless given. */
  readonly hardware?: RigHardware;
  readonly mountNumber?: number;
  readonly spread?: RemountSpread;
  /** Longest step of the physics, s; 20 µs unless told. */
  readonly step_s?: number;
}

export interface SimulatedChannel {
  /** What a device would have stamped, unwrapped. */
  readonly deviceTime_us: Float64Array;
  readonly counts: Int32Array;
  /** Device time less the declared delay, s. */
  readonly time_s: Float64Array;
  /** Counts by the owner's calibration, N or m. */
  readonly measured: Float64Array;
  /** What a perfect sensor would have delivered, N or m. */
  readonly played: Float64Array;
}

export interface SimulatedChannels {
  readonly force: SimulatedChannel;
  readonly position: SimulatedChannel;
  readonly temperature: { readonly time_s: Float64Array; readonly temperature_degC: Float64Array };
  readonly hardware: RigHardware;
  readonly mounted: MountedShock;
  readonly oilMean_degC: number;
}

/**
 * Plays a script without bytes or waiting, for tests and benchmarks; the same core as behind the port.
 * @returns device times, counts, calibrated values and the truth behind them
 */
export function simulateChannels(options: SimulationOptions): SimulatedChannels {
  const { shock, seed, script } = options;
  const hardware = options.hardware ?? ownedRig(seed);
  const mounted = mountShock(
    shock,
    seed,
    options.mountNumber ?? 1,
    hardware.room_degC,
    options.spread ?? usualRemountSpread,
  );
  const rig = playedRig(hardware, mounted, seed, options.step_s);
  const stamp = stamps(hardware, randomStream(seed, 'stamps'));
  const { force: forceLine, position: positionLine } = simulatedRigCalibration;
  const force = channel(hardware.cell.declaredDelay_s, forceLine.zero_counts, forceLine.newton_per_count);
  const position = channel(
    hardware.position.declaredDelay_s,
    positionLine.zero_counts,
    positionLine.metre_per_count,
  );
  const temperatureTime_s: number[] = [];
  const temperature_degC: number[] = [];
  let oilSum = 0;
  const sink = {
    force(time_s: number, counts: number, played_N: number) {
      oilSum += rig.shock.oil_degC;
      force.add(stamp(time_s, hardware.cell.declaredDelay_s), counts, played_N);
    },
    position(time_s: number, counts: number, played_m: number) {
      position.add(stamp(time_s, hardware.position.declaredDelay_s), counts, played_m);
    },
    temperature(time_s: number, milli_degC: number) {
      temperatureTime_s.push(stamp(time_s, 0) * 1e-6);
      temperature_degC.push(milli_degC / 1000);
    },
  };
  let until_s = 0;
  for (const { speed_rev_per_s, duration_s } of script) {
    rig.drive.command(speed_rev_per_s);
    until_s += duration_s;
    rig.playUntil(until_s, sink);
  }
  const forceChannel = force.close();
  return {
    force: forceChannel,
    position: position.close(),
    temperature: {
      time_s: Float64Array.from(temperatureTime_s),
      temperature_degC: Float64Array.from(temperature_degC),
    },
    hardware,
    mounted,
    oilMean_degC: oilSum / forceChannel.counts.length,
  };
}

function channel(delay_s: number, zero_counts: number, perCount: number) {
  const deviceTimes_us: number[] = [];
  const counts: number[] = [];
  const played: number[] = [];
  return {
    add(deviceTime_us: number, count: number, truly: number) {
      deviceTimes_us.push(deviceTime_us);
      counts.push(count);
      played.push(truly);
    },
    close: (): SimulatedChannel => ({
      deviceTime_us: Float64Array.from(deviceTimes_us),
      counts: Int32Array.from(counts),
      time_s: Float64Array.from(deviceTimes_us, (time_us) => time_us * 1e-6 - delay_s),
      measured: Float64Array.from(counts, (count) => (count - zero_counts) * perCount),
      played: Float64Array.from(played),
    }),
  };
}
