import { type CrankDrive, crankDrive } from './crank-drive.js';
import { forceConverter } from './force-converter.js';
import { forceNoise } from './force-noise.js';
import { type HungMass, hangingForce_N } from './hung-mass.js';
import { joinShock, type Mount } from './mount.js';
import { type PlayedShock, playedShock } from './played-shock.js';
import { randomStream } from './random.js';
import type { MountedShock } from './remount.js';
import type { RigHardware } from './rig-hardware.js';

/** Takes what the rig's converters deliver. Times are true seconds, not yet the device's. */
export interface ConversionSink {
  /** @param played_N what a converter without noise, zero or rounding would have said */
  force(time_s: number, counts: number, played_N: number): void;
  /** @param played_m where the slide really was, from the outer dead centre */
  position(time_s: number, counts: number, played_m: number): void;
  temperature(time_s: number, milli_degC: number): void;
}

/** Crank, shock and sensors moving in true time. */
export interface PlayedRig {
  readonly drive: CrankDrive;
  readonly time_s: number;
  readonly shock: PlayedShock;
  /** Force on the cell that does not come from the shock, N. */
  disturbance_N: number;
  /** Plays until `time_s`; without a sink nothing is converted. */
  playUntil(time_s: number, sink: ConversionSink | null): void;
  /** Changes the declared force rate; the true one keeps its relative error. */
  setForceRate(declared_Hz: number): void;
  setPositionRate(declared_Hz: number): void;
  setTemperatureRate(declared_Hz: number): void;
  /** Takes the shock off and puts another on. The crank must stand. */
  mount(mounted: MountedShock): void;
  /** Hangs a mass on the cell, in place of what hung there; 0 takes it off. */
  hang(mass_kg: number): void;
  /** Turns the crank by hand to where the slide stands at a position. The crank must stand. */
  turnTo(position_m: number): void;
}

/** How fast somebody turns a crank carefully. */
const handSpeed_rev_per_s = 0.25;

/** Longest step of the physics, s. */
export const longestStep_s = 20e-6;

/**
 * Builds a rig with a shock on it, standing at full extension.
 * @param hardware true values of the rig
 * @param first the shock on it
 * @param seed for noise, wander and jitter
 * @param step_s longest step, only for tests of the step itself
 * @returns the rig; the same seed and the same calls give the same conversions, however time is cut into calls
 * Notes: a conversion is a whole number of equal steps, so that its ends fall on the grid.
 */
export function playedRig(
  hardware: RigHardware,
  first: MountedShock,
  seed: number,
  step_s = longestStep_s,
): PlayedRig {
  const { cell, position, temperature } = hardware;
  const drive = crankDrive(hardware.crank, hardware.drive, 0, randomStream(seed, 'drive'));
  const cellRandom = randomStream(seed, 'cell');
  const positionRandom = randomStream(seed, 'position');
  const temperatureRandom = randomStream(seed, 'temperature');

  let mounted = first;
  let hung: HungMass | null = null;
  let shock: PlayedShock;
  let joint: Mount;
  const now = { slide_m: drive.position_m, cell_N: 0 };

  let origin_s = 0;
  let stepsDone = 0;
  let dt_s = 0;
  let conversion_s = 0;
  let keep = 0;
  let converter = forceConverter('none', 1, 0);
  let noise_N: (time_s: number) => number;
  let positionPeriod_s = 0;
  let positionTick = 0;
  let nextPosition_s = 0;
  let temperaturePeriod_s = 0;
  let nextTemperature_s = 0;

  function put(next: MountedShock) {
    mounted = next;
    const at_m = now.slide_m + next.offset_m;
    shock = playedShock(next.shock, {
      position_m: at_m,
      oil_degC: next.start_degC,
      room_degC: hardware.room_degC,
      sideLoad: next.sideLoad,
      halfStroke_m: hardware.crank.radius_m,
    });
    joint = joinShock(hardware.mount, shock, next.shock.movingMass_kg, at_m);
    now.cell_N = next.preload_N;
    planForce(1 / conversion_s);
  }

  function planForce(true_Hz: number) {
    origin_s = now_s();
    stepsDone = 0;
    conversion_s = 1 / true_Hz;
    const steps = Math.ceil(conversion_s / step_s);
    dt_s = conversion_s / steps;
    keep = cell.lowPass_s > 0 ? Math.exp(-dt_s / cell.lowPass_s) : 0;
    converter = forceConverter(cell.kernel, steps, now.cell_N);
    noise_N = forceNoise(cell.noise, cell.kernel, conversion_s, cellRandom);
  }

  function now_s(): number {
    return origin_s + stepsDone * dt_s;
  }

  function convertForce(time_s: number, sink: ConversionSink) {
    const read_N = converter.value_N + noise_N(time_s);
    const measured_N = read_N * (1 + cell.bend_per_N * read_N);
    const counts = Math.round(cell.zero_counts + cell.counts_per_N * measured_N);
    sink.force(time_s, Math.min(cell.counts_max, Math.max(cell.counts_min, counts)), converter.value_N);
  }

  function convertPosition(time_s: number, played_m: number, sink: ConversionSink) {
    const bow_m = position.bow_m * Math.sin((2 * Math.PI * played_m) / position.bowSpan_m);
    const read_m = played_m + bow_m + position.noise_m * positionRandom.normal();
    const counts = Math.round(position.zero_counts + position.counts_per_m * read_m);
    sink.position(time_s, Math.min(position.counts_max, Math.max(0, counts)), played_m);
  }

  function convertTemperature(time_s: number, sink: ConversionSink) {
    const read_degC =
      shock.body_degC + temperature.offset_K + temperature.noise_K * temperatureRandom.normal();
    const rounded_degC = Math.round(read_degC / temperature.resolution_K) * temperature.resolution_K;
    sink.temperature(time_s, Math.round(1000 * rounded_degC));
  }

  /** Positions are taken when a timer says so, and the timer's interrupt comes a little late. */
  function planPosition(tick: number) {
    positionTick = tick;
    nextPosition_s = tick * positionPeriod_s + hardware.stampLatency_s * positionRandom.uniform();
  }

  function firstTickAfter(time_s: number): number {
    return Math.floor(time_s / positionPeriod_s) + 1;
  }

  /** At rest and unobserved only heat goes on. */
  function rest(until_s: number) {
    const steps = Math.ceil((until_s - now_s()) / dt_s);
    stepsDone += steps;
    shock.warm(steps * dt_s);
    planPosition(firstTickAfter(now_s()));
    nextTemperature_s = Math.max(nextTemperature_s, now_s());
  }

  function step(sink: ConversionSink | null) {
    drive.step(dt_s);
    stepsDone++;
    const before_m = now.slide_m;
    const slide_m = drive.position_m;
    now.slide_m = slide_m;
    const hanging_N = hung ? hangingForce_N(hung, now_s(), hardware.gravity_m_per_s2) : 0;
    const cell_N =
      joint.step(slide_m + mounted.offset_m, dt_s) + mounted.preload_N + hanging_N + rig.disturbance_N;
    now.cell_N = cell_N + (now.cell_N - cell_N) * keep;
    const time_s = now_s();
    if (converter.step(now.cell_N)) {
      shock.warm(conversion_s);
      if (sink) convertForce(time_s, sink);
    }
    while (nextPosition_s <= time_s) {
      const back = (time_s - nextPosition_s) / dt_s;
      if (sink) convertPosition(nextPosition_s, slide_m + (before_m - slide_m) * back, sink);
      planPosition(positionTick + 1);
    }
    if (nextTemperature_s <= time_s) {
      if (sink) convertTemperature(time_s, sink);
      nextTemperature_s += temperaturePeriod_s;
    }
  }

  const rig: PlayedRig = {
    drive,
    disturbance_N: 0,
    get time_s() {
      return now_s();
    },
    get shock() {
      return shock;
    },
    playUntil(until_s, sink) {
      while (now_s() < until_s) {
        if (!sink && drive.atRest && !hung && rig.disturbance_N === 0) rest(until_s);
        else step(sink);
      }
    },
    setForceRate(declared_Hz) {
      planForce(declared_Hz * (1 + cell.rateError));
    },
    setPositionRate(declared_Hz) {
      positionPeriod_s = 1 / (declared_Hz * (1 + position.rateError));
      planPosition(firstTickAfter(now_s()));
    },
    setTemperatureRate(declared_Hz) {
      temperaturePeriod_s = 1 / declared_Hz;
      nextTemperature_s = now_s();
    },
    mount: put,
    hang(mass_kg) {
      hung = mass_kg > 0 ? { mass_kg, since_s: now_s() } : null;
    },
    turnTo(position_m) {
      const target_rad = angleOf(position_m, hardware.crank);
      while (drive.angle_rad % (2 * Math.PI) !== target_rad) {
        const turned_rad = drive.angle_rad % (2 * Math.PI);
        const most_rad = 2 * Math.PI * handSpeed_rev_per_s * dt_s;
        const left_rad = target_rad - turned_rad;
        drive.turnByHand(
          Math.abs(left_rad) <= most_rad ? target_rad : turned_rad + Math.sign(left_rad) * most_rad,
        );
        step(null);
      }
    },
  };
  conversion_s = 1 / (cell.declared_Hz * (1 + cell.rateError));
  put(first);
  rig.setPositionRate(position.declared_Hz);
  rig.setTemperatureRate(temperature.declared_Hz);
  return rig;
}

/** Angle within the inward half turn at which the slide stands at a position, by bisection. */
function angleOf(position_m: number, { radius_m, rod_m }: RigHardware['crank']): number {
  let [low, high] = [0, Math.PI];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    const across_m = radius_m * Math.sin(middle);
    const reached_m =
      radius_m + rod_m - radius_m * Math.cos(middle) - Math.sqrt(rod_m * rod_m - across_m * across_m);
    if (reached_m < position_m) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
