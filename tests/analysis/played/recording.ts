import { type KernelName, makeTrace, type Trace } from '../../../analysis/index.js';
import { type PlayedMotion, playCrank, playSweep } from './motion.js';
import { type Random, randomFrom } from './random.js';
import { type PlayedShock, playForce, playForceWithPlay, runningMean } from './shock.js';

export interface PlayedRig {
  readonly rate_Hz: number;
  readonly kernel: KernelName;
  /** Delay of the force channel beyond the kernel's own. */
  readonly lag_s: number;
  readonly whiteNoise_N: number;
  /** Amplitude of coloured noise: a first-order process of 30 ms and mains hum. */
  readonly colouredNoise_N: number;
  readonly positionNoise_m: number;
  readonly positionStep_m: number;
  readonly forceStep_N: number;
}

export interface Played {
  readonly trace: Trace;
  readonly shock: PlayedShock;
  readonly rig: PlayedRig;
  readonly motion: PlayedMotion;
}

const averagings: Record<KernelName, number> = { none: 0, 'one-conversion': 1, sinc3: 3, sinc4: 4 };

/**
 * Passes force through the converter, adds noise and steps, and samples both channels together.
 * @param play_m looseness of the shock's mounts
 */
export function playRig(
  shock: PlayedShock,
  motion: PlayedMotion,
  rig: PlayedRig,
  random: Random,
  play_m = 0,
): Played {
  const { step_s } = motion;
  let force = play_m > 0 ? playForceWithPlay(shock, motion, play_m) : playForce(shock, motion);
  const width = Math.round(1 / rig.rate_Hz / step_s);
  for (let pass = 0; pass < averagings[rig.kernel]; pass++) force = runningMean(force, width);
  const period_s = 1 / rig.rate_Hz;
  const first_s = 6 * period_s + rig.lag_s;
  const n = Math.floor((motion.position_m.length * step_s - first_s) / period_s) - 2;
  const time_s = new Float64Array(n);
  const force_N = new Float64Array(n);
  const position_m = new Float64Array(n);
  const slow = Math.exp(-period_s / 0.03);
  let wander = random.normal();
  for (let i = 0; i < n; i++) {
    const t = first_s + i * period_s;
    time_s[i] = Math.round(t * 1e6) / 1e6;
    wander = slow * wander + Math.sqrt(1 - slow * slow) * random.normal();
    const hum = Math.sin(2 * Math.PI * 50 * t);
    const noise = rig.whiteNoise_N * random.normal() + rig.colouredNoise_N * (wander + hum);
    force_N[i] = toStep(at(force, (t - rig.lag_s) / step_s) + noise, rig.forceStep_N);
    position_m[i] = toStep(
      at(motion.position_m, t / step_s) + rig.positionNoise_m * random.normal(),
      rig.positionStep_m,
    );
  }
  const made = makeTrace({ force: { time_s, force_N }, position: { time_s, position_m } });
  if (!made.ok) throw new Error(`${made.refusal.code}: ${made.refusal.found}`);
  return { trace: made.trace, shock, rig, motion };
}

const toStep = (value: number, step: number) => (step > 0 ? Math.round(value / step) * step : value);

function at(values: Float64Array, index: number): number {
  const k = Math.floor(index);
  return values[k]! + (index - k) * (values[k + 1]! - values[k]!);
}

/** A shock drawn at random from the sizes hobby shocks come in. */
export function drawShock(random: Random): PlayedShock {
  const mean = 10 ** random.uniform(-0.7, 0.3);
  const split = random.uniform(-0.15, 0.15);
  const linear = 10 ** random.uniform(0.9, 1.8);
  const rebound = random.uniform(0.8, 1.3);
  const area_m2 = (Math.PI / 4) * random.uniform(3e-3, 3.5e-3) ** 2;
  return {
    dragCompression_N: mean * (1 + split),
    dragRebound_N: mean * (1 - split),
    breakawayRatio: random.uniform(1.1, 1.8),
    stribeckSpeed_m_per_s: random.uniform(2e-3, 8e-3),
    presliding_m: random.uniform(0.03e-3, 0.15e-3),
    startState: random.uniform(-1, 1),
    compression: { linear, quadratic: random.uniform(0, 1.5) * linear },
    rebound: { linear: linear * rebound, quadratic: random.uniform(0, 1.5) * linear },
    gas: {
      area_m2,
      pressure_Pa: random.uniform(1, 2) * 1e5,
      volume_m3: random.uniform(1.5, 4) * area_m2 * 0.03,
      exponent: random.uniform(1, 1.4),
    },
    movingMass_kg: random.uniform(0.002, 0.03),
    ceiling_N: null,
    deadStroke_m: 0,
    stop: null,
    thinning: 0,
  };
}

export function drawRig(random: Random, rate_Hz: number, kernel: KernelName): PlayedRig {
  return {
    rate_Hz,
    kernel,
    lag_s: random.uniform(0, 4e-3),
    whiteNoise_N: random.uniform(2e-3, 10e-3),
    colouredNoise_N: random.uniform(1e-3, 6e-3),
    positionNoise_m: random.uniform(2e-6, 10e-6),
    positionStep_m: 15e-6,
    forceStep_N: 0.5e-3,
  };
}

/** A random shock on a ladder of crank speeds, about 40 s. */
export function playLadder(
  seed: number,
  options: { rate_Hz?: number; kernel?: KernelName; change?: (shock: PlayedShock) => PlayedShock } = {},
): Played {
  const random = randomFrom(seed);
  const drawn = drawShock(random);
  const shock = options.change ? options.change(drawn) : drawn;
  const rate_Hz = options.rate_Hz ?? Math.round(random.uniform(320, 1000));
  const rig = drawRig(random, rate_Hz, options.kernel ?? 'none');
  const motion = playCrank(
    {
      radius_m: random.uniform(8e-3, 13e-3),
      rod_m: random.uniform(0.05, 0.1),
      speeds_Hz: [0.2, 0.5, 1, 1.7, 2.7].map((f) => f * random.uniform(0.9, 1.1)),
      seconds: [12, 10, 7, 6, 5],
      ripple: random.uniform(0, 0.03),
    },
    random,
  );
  return playRig(shock, motion, rig, random);
}

/** A random shock on constant-speed strokes, one pair per speed from 1 to 40 mm/s. */
export function playSlowSweep(seed: number, options: { rate_Hz?: number; kernel?: KernelName } = {}): Played {
  const random = randomFrom(seed);
  const shock = drawShock(random);
  const rig = drawRig(random, options.rate_Hz ?? 320, options.kernel ?? 'none');
  const motion = playSweep({
    travel_m: random.uniform(15e-3, 22e-3),
    speeds_m_per_s: [1e-3, 2e-3, 4e-3, 8e-3, 15e-3, 25e-3, 40e-3],
    dwell_s: random.uniform(0, 1),
    acceleration_m_per_s2: random.uniform(0.05, 0.3),
  });
  return playRig(shock, motion, rig, random);
}
