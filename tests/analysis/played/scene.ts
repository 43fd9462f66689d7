import { type KernelName, makeTrace, type Trace } from '../../../analysis/index.js';
import { playCrank, playSweep } from './motion.js';
import { type Random, randomFrom } from './random.js';
import { drawRig, drawShock, type Played, type PlayedRig, playRig } from './recording.js';
import type { PlayedShock } from './shock.js';

/** Everything that is drawn before a recording is played; faults change it. */
export interface Scene {
  readonly shock: PlayedShock;
  readonly rig: PlayedRig;
  readonly procedure: 'speed-ladder' | 'slow-sweep';
  /** Stroke of crank or sweep. */
  readonly stroke_m: number;
  readonly rod_m: number;
  readonly speeds_Hz: readonly number[];
  readonly seconds: readonly number[];
  readonly ripple: number;
  readonly dwell_s: number;
  readonly play_m: number;
}

const sweepSpeeds_m_per_s = [2e-3, 4e-3, 8e-3, 15e-3, 25e-3, 40e-3];
/** Fine enough for 1000 samples/s, and half as slow to play as 20 µs. */
const step_s = 40e-6;

/**
 * A scene drawn at random: two ladders in three recordings, otherwise sweeps; a third of either on an 80 samples/s
 * averaging converter. The shocks are not quite what a fit assumes: turbulence with a power from 1.8 to 2, and a spring on
 * every fifth.
 */
export function drawScene(random: Random): Scene {
  const procedure = random.uniform(0, 1) < 2 / 3 ? 'speed-ladder' : 'slow-sweep';
  const slow = random.uniform(0, 1) < 1 / 3;
  const kernel: KernelName = slow ? (random.uniform(0, 1) < 0.5 ? 'sinc3' : 'sinc4') : 'none';
  const rate_Hz = slow ? 80 : Math.round(200 * 5 ** random.uniform(0, 1));
  const drawn = drawShock(random);
  return {
    shock: {
      ...drawn,
      turbulentPower: random.uniform(1.8, 2),
      spring_N_per_m: random.uniform(0, 1) < 0.2 ? random.uniform(300, 1200) : 0,
    },
    rig: drawRig(random, rate_Hz, kernel),
    procedure,
    stroke_m: random.uniform(16e-3, 26e-3),
    rod_m: random.uniform(0.05, 0.1),
    speeds_Hz: [0.3, 0.7, 1.4, 2.6].map((f) => f * random.uniform(0.9, 1.1)),
    seconds: [8, 6, 5, 4],
    ripple: random.uniform(0, 0.03),
    dwell_s: random.uniform(0, 1),
    play_m: 0,
  };
}

/** Plays a scene. */
export function playScene(scene: Scene, random: Random): Played {
  const { shock, rig, procedure, stroke_m, rod_m, speeds_Hz, seconds, ripple, dwell_s, play_m } = scene;
  const motion =
    procedure === 'speed-ladder'
      ? playCrank({ radius_m: stroke_m / 2, rod_m, speeds_Hz, seconds, ripple, step_s }, random)
      : playSweep({
          travel_m: stroke_m,
          speeds_m_per_s: sweepSpeeds_m_per_s,
          dwell_s,
          acceleration_m_per_s2: random.uniform(0.05, 0.3),
          step_s,
        });
  return playRig(shock, motion, rig, random, play_m);
}

/** A sound recording. */
export function playSound(
  seed: number,
  change: (scene: Scene) => Scene = (drawn) => drawn,
): Played & { readonly scene: Scene } {
  const random = randomFrom(seed);
  const scene = change(drawScene(random));
  return { ...playScene(scene, random), scene };
}

/** The trace with its samples changed, checked again. */
export function remade(
  trace: Trace,
  changed: Partial<Pick<Trace, 'force' | 'position' | 'temperature'>>,
): Trace {
  const made = makeTrace({ ...trace, ...changed });
  if (!made.ok) throw new Error(`${made.refusal.code}: ${made.refusal.found}`);
  return made.trace;
}
