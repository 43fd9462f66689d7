import type { FindingCode, Trace } from '../../../analysis/index.js';
import { type Random, randomFrom } from './random.js';
import type { Played } from './recording.js';
import { drawScene, playScene, remade, type Scene } from './scene.js';

/** One kind of fault: what it changes before playing or afterwards, and how large it was made. */
export interface FaultKind {
  readonly code: FindingCode;
  /** What was done, where a code has several causes. */
  readonly name?: string;
  /** What the drawn size is, for tables: name with unit. */
  readonly sizeName: string;
  readonly inject: (scene: Scene, random: Random) => Injected;
}

interface Injected {
  readonly scene: Scene;
  readonly size: number;
  /** Where it was put or how large it is, by the finding's own value names. */
  readonly truth?: Readonly<Record<string, number>>;
  readonly spoil?: (trace: Trace, random: Random) => Trace;
}

export interface Faulty extends Omit<Injected, 'scene' | 'spoil'> {
  readonly played: Played;
  readonly scene: Scene;
}

/** A recording with a fault of this kind, drawn from the seed; `change` is made before the fault. */
export function playFaulty(
  kind: FaultKind,
  seed: number,
  change: (scene: Scene) => Scene = (scene) => scene,
): Faulty {
  const random = randomFrom(seed);
  const { scene, spoil, ...rest } = kind.inject(change(drawScene(random)), random);
  const played = playScene(scene, random);
  return { ...rest, scene, played: spoil ? { ...played, trace: spoil(played.trace, random) } : played };
}

const withShock = (scene: Scene, shock: Partial<Scene['shock']>): Scene => ({
  ...scene,
  shock: { ...scene.shock, ...shock },
});
const ladder = (scene: Scene): Scene => ({ ...scene, procedure: 'speed-ladder' });
const meanDrag = ({ shock }: Scene) => 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
const topSpeed = ({ stroke_m, speeds_Hz }: Scene) => Math.PI * stroke_m * speeds_Hz.at(-1)!;
const oneOf = (random: Random, count: number) => Math.floor(random.uniform(0, count));

export const faultKinds: readonly FaultKind[] = [
  {
    code: 'air-in-oil',
    sizeName: 'dead stroke, mm',
    inject: (scene, random) => {
      const deadStroke_mm = random.uniform(0.3, 2.5);
      return {
        scene: withShock(ladder(scene), { deadStroke_m: deadStroke_mm * 1e-3 }),
        size: deadStroke_mm,
        truth: { deadStroke_mm },
      };
    },
  },
  {
    code: 'compression-ceiling',
    sizeName: 'share of the damping at top speed',
    inject: (scene, random) => {
      const v = topSpeed(scene);
      const { compression, turbulentPower = 2 } = scene.shock;
      const size = random.uniform(0.35, 0.85);
      const ceiling_N = size * (compression.linear * v + compression.quadratic * v ** turbulentPower);
      return {
        scene: withShock(ladder(scene), { ceiling_N }),
        size,
        truth: { force_N: ceiling_N },
      };
    },
  },
  {
    code: 'end-contact',
    sizeName: 'pressed, mm',
    inject: (scene, random) => {
      const pressed_m = random.uniform(0.02, 0.15) * scene.stroke_m;
      const atExtension = random.uniform(0, 1) < 0.5;
      const position_m = atExtension ? pressed_m : scene.stroke_m - pressed_m;
      const stiffness_N_per_m = 10 ** random.uniform(3.3, 4.7);
      return {
        scene: withShock(scene, { stop: { position_m, stiffness_N_per_m, atExtension } }),
        size: 1e3 * pressed_m,
        truth: { position_mm: 1e3 * position_m },
      };
    },
  },
  {
    code: 'stick-slip',
    sizeName: 'height over drag',
    inject: (scene, random) => {
      const size = random.uniform(0.1, 0.6);
      const stickSlip = {
        height_N: size * meanDrag(scene),
        tooth_m: random.uniform(0.1e-3, 0.6e-3),
        speed_m_per_s: random.uniform(8e-3, 20e-3),
      };
      return { scene: withShock(scene, { stickSlip }), size };
    },
  },
  {
    code: 'binding',
    sizeName: 'height over drag',
    inject: (scene, random) => {
      const size = random.uniform(0.15, 1);
      const position_m = random.uniform(0.2, 0.8) * scene.stroke_m;
      const binding = {
        position_m,
        width_m: random.uniform(0.03, 0.08) * scene.stroke_m,
        force_N: size * meanDrag(scene),
      };
      return { scene: withShock(scene, { binding }), size, truth: { position_mm: 1e3 * position_m } };
    },
  },
  {
    code: 'play-in-mounts',
    sizeName: 'play, mm',
    inject: (scene, random) => {
      const play_mm = random.uniform(0.1, 0.8);
      return {
        scene: { ...ladder(scene), play_m: play_mm * 1e-3 },
        size: play_mm,
        truth: { play_mm },
      };
    },
  },
  {
    code: 'force-saturated',
    sizeName: 'limit over largest force',
    inject: (scene, random) => {
      const size = random.uniform(0.5, 0.95);
      return { scene, size, spoil: (trace) => clipped(trace, size) };
    },
  },
  {
    code: 'samples-missing',
    sizeName: 'share lost',
    inject: (scene, random) => {
      const size = 10 ** random.uniform(-3, -1);
      const way = oneOf(random, 3);
      return {
        scene,
        size,
        spoil: (trace, chance) => without(trace, lost(trace.force.time_s.length, size, way, chance)),
      };
    },
  },
  {
    code: 'samples-missing',
    name: 'wild samples',
    sizeName: 'smallest, ranges of the force',
    inject: (scene, random) => {
      const size = 10 ** random.uniform(-1, 1);
      return { scene, size, spoil: (trace, chance) => withWildSamples(trace, 5, size, chance) };
    },
  },
  {
    code: 'too-slow-sampling',
    sizeName: 'samples in the fastest cycle',
    inject: (scene, random) => {
      const size = random.uniform(6, 15);
      const rate_Hz = Math.round(size * scene.speeds_Hz.at(-1)!);
      return { scene: { ...ladder(scene), rig: { ...scene.rig, rate_Hz, kernel: 'none' } }, size };
    },
  },
  {
    code: 'crank-locked-to-sampling',
    sizeName: 'samples in a cycle',
    inject: (scene, random) => {
      const size = 18 + oneOf(random, 80);
      const rate_Hz = size < 60 ? 80 : 200;
      const kernel = rate_Hz === 80 ? 'sinc3' : 'none';
      const locked = rate_Hz / size;
      return {
        scene: {
          ...ladder(scene),
          rig: { ...scene.rig, rate_Hz, kernel },
          ripple: 0,
          speeds_Hz: [0.3 * locked, 0.77 * locked, locked],
          seconds: [5 / locked, 6 / locked, 14 / locked],
        },
        size,
      };
    },
  },
  {
    code: 'loop-energy-mismatch',
    sizeName: 'slope past the valve',
    inject: (scene, random) => {
      const size = random.uniform(0, 0.5);
      const blowOff = { speed_m_per_s: random.uniform(0.1, 0.3) * topSpeed(scene), slope: size };
      return { scene: withShock(ladder(scene), { blowOff }), size };
    },
  },
  {
    code: 'sign-reversed',
    sizeName: '0 force, 1 position, 2 both',
    inject: (scene, random) => {
      const size = oneOf(random, 3);
      return { scene, size, spoil: (trace) => reversed(trace, size !== 1, size !== 0) };
    },
  },
  {
    code: 'warming',
    sizeName: 'damping lost, share',
    inject: (scene, random) => {
      const size = random.uniform(0.06, 0.3);
      const measured = random.uniform(0, 1) < 0.5;
      return {
        scene: withShock(ladder(scene), { thinning: size }),
        size,
        ...(measured ? { spoil: (trace: Trace) => withTemperature(trace, size / 0.02) } : {}),
      };
    },
  },
];

function clipped(trace: Trace, share: number): Trace {
  const { time_s, force_N } = trace.force;
  const least = force_N.reduce((a, b) => Math.min(a, b));
  const most = force_N.reduce((a, b) => Math.max(a, b));
  const high = most > -least;
  const limit = share * (high ? most : least);
  const force = force_N.map((f) => (high ? Math.min(f, limit) : Math.max(f, limit)));
  return remade(trace, { force: { time_s, force_N: force } });
}

/** Which of n samples are lost: here and there, in one piece, or every so many. */
function lost(n: number, share: number, way: number, random: Random): (index: number) => boolean {
  if (way === 0) {
    const gone = Uint8Array.from({ length: n }, () => (random.uniform(0, 1) < share ? 1 : 0));
    return (i) => gone[i] === 1;
  }
  if (way === 1) {
    const from = Math.floor(random.uniform(0.1, 0.8) * n);
    return (i) => i >= from && i < from + Math.max(2, share * n);
  }
  const every = Math.max(3, Math.round(1 / share));
  return (i) => i % every === 1;
}

function without(trace: Trace, isLost: (index: number) => boolean): Trace {
  const kept = (values: Float64Array) => values.filter((_, i) => !isLost(i));
  const time_s = kept(trace.force.time_s);
  return remade(trace, {
    force: { time_s, force_N: kept(trace.force.force_N) },
    position: { time_s, position_m: kept(trace.position.position_m) },
  });
}

function reversed(trace: Trace, force: boolean, position: boolean): Trace {
  const turned = (values: Float64Array, turn: boolean) => (turn ? values.map((x) => -x) : values);
  return remade(trace, {
    force: { ...trace.force, force_N: turned(trace.force.force_N, force) },
    position: { ...trace.position, position_m: turned(trace.position.position_m, position) },
  });
}

/** A thermometer's readings, once a second, rising evenly. */
function withTemperature(trace: Trace, rise_K: number): Trace {
  const { time_s } = trace.force;
  const n = Math.floor(time_s[time_s.length - 1]!);
  const seconds = Float64Array.from({ length: n }, (_, k) => time_s[0]! + k);
  return remade(trace, {
    temperature: { time_s: seconds, temperature_degC: seconds.map((_, k) => 22 + (rise_K * k) / n) },
  });
}

/** A few single samples far off, by `ranges` of the force and up to three times that. */
function withWildSamples(trace: Trace, count: number, ranges: number, random: Random): Trace {
  const force_N = trace.force.force_N.slice();
  const range = force_N.reduce((a, b) => Math.max(a, b)) - force_N.reduce((a, b) => Math.min(a, b));
  for (let k = 0; k < count; k++) {
    const at = 5 + Math.floor(random.uniform(0, force_N.length - 10));
    force_N[at] += (random.uniform(0, 1) < 0.5 ? -1 : 1) * range * ranges * random.uniform(1, 3);
  }
  return remade(trace, { force: { time_s: trace.force.time_s, force_N } });
}
