import type { Random } from '../played/random.js';

const mm = 1e-3;

/** Positions of constant-speed strokes from place to place, m, with a rest at each. */
function strokes(
  places_mm: readonly number[],
  speed_mm_per_s: number,
  rate_Hz: number,
  rest_s = 0,
): number[] {
  const out = [places_mm[0]! * mm];
  for (let k = 1; k < places_mm.length; k++) {
    const [from, to] = [places_mm[k - 1]!, places_mm[k]!];
    const n = Math.max(1, Math.round((Math.abs(to - from) / speed_mm_per_s) * rate_Hz));
    for (let i = 1; i <= n; i++) out.push((from + ((to - from) * i) / n) * mm);
    for (let i = 0; i < rest_s * rate_Hz; i++) out.push(to * mm);
  }
  return out;
}

/** By hand: the speed wanders, the turns are never at the same place, and there are pauses. */
function byHand(random: Random): number[] {
  const out = [0];
  let x = 0;
  for (const target of [17, 1, 18.5, 0.3, 16, 0].map((place) => place * mm)) {
    while (Math.abs(target - x) > 0.1 * mm) {
      const speed = Math.max(0, 2 + 1.8 * Math.sin(out.length / 37) + random.uniform(-0.5, 0.5)) * mm;
      x += Math.sign(target - x) * Math.min(Math.abs(target - x), speed / 100);
      out.push(x);
    }
    for (let i = 0; i < random.uniform(10, 80); i++) out.push(x);
  }
  return out;
}

const crank = (turns_Hz: number, rate_Hz: number, seconds: number, phase: number) =>
  Array.from(
    { length: rate_Hz * seconds },
    (_, i) => 9 * mm * (1 - Math.cos((2 * Math.PI * turns_Hz * i) / rate_Hz + phase)),
  );

const stairs = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 16, 14, 12, 10, 8, 6, 4, 2, 0];
const zigzag = [0, 5, 2, 8, 5, 12, 8, 15, 12, 18, 14, 16, 10, 12, 6, 9, 3, 5, 0];

/** Ways in which people pull springs; each covers 0 to about 18 mm and both ways. */
export const pullShapes: Readonly<Record<string, (random: Random) => number[]>> = {
  'there and back once': () => strokes([0, 18, 0], 3, 100),
  'there and back, eight samples a second': () => strokes([0, 18, 0], 3, 8),
  'five cycles': () => strokes([0, 18, 0, 18, 0, 18, 0, 18, 0, 18, 0], 5, 80),
  'cycles with rests': () => strokes([0, 18, 0, 18, 0], 5, 80, 1),
  'from the middle': () => strokes([8, 18, 0, 18, 5], 4, 100),
  'from the compressed end': () => strokes([18, 0, 18], 4, 100),
  'in steps': () => strokes(stairs, 10, 50, 0.8),
  'further each time': () => strokes([0, 6, 0, 12, 0, 18, 0], 5, 80),
  'back and forth on the way': () => strokes(zigzag, 5, 80),
  'by a slow crank': () => crank(0.2, 320, 15, 0.7),
  'by hand': byHand,
};

export interface PulledSpring {
  readonly rate_N_per_m: number;
  readonly preload_N: number;
  readonly friction_N: number;
  readonly presliding_m: number;
  readonly noise_N: number;
  /** Of a slow process beside the white noise. */
  readonly wander_N: number;
  readonly positionNoise_m: number;
  /** Travel before the spring is touched; it then begins without preload. */
  readonly gap_m?: number;
  /** Stiffness of what holds the preload until the spring lifts off it. */
  readonly liftOff_N_per_m?: number;
  readonly coilBindAt_m?: number;
  /** Share of force samples that are wild. */
  readonly wild?: number;
  /** Oil of a shock that the spring sits on, for samples taken evenly. */
  readonly oil_N_per_step?: number;
}

/** Force over a path: the spring, friction that shears before it slides, noise on both channels. */
export function pullAlong(
  path_m: readonly number[],
  spring: PulledSpring,
  random: Random,
): { position_m: Float64Array; force_N: Float64Array } {
  let state = 0;
  let wander = 0;
  const force_N = Float64Array.from(path_m, (x, i) => {
    const moved = i > 0 ? x - path_m[i - 1]! : 0;
    const way = Math.sign(moved);
    if (way !== 0) state = way + (state - way) * Math.exp(-Math.abs(moved) / spring.presliding_m);
    wander = 0.97 * wander + 0.243 * random.normal();
    let force = spring.preload_N + spring.rate_N_per_m * x;
    if (spring.gap_m) force = spring.rate_N_per_m * Math.max(0, x - spring.gap_m);
    if (spring.liftOff_N_per_m) force = Math.min(force, spring.liftOff_N_per_m * x);
    if (spring.coilBindAt_m) force += 20e3 * Math.max(0, x - spring.coilBindAt_m);
    if (spring.wild && random.uniform(0, 1) < spring.wild) force += random.uniform(-30, 30);
    const oil_N = (spring.oil_N_per_step ?? 0) * moved;
    return (
      force + oil_N + spring.friction_N * state + spring.noise_N * random.normal() + spring.wander_N * wander
    );
  });
  const position_m = Float64Array.from(path_m, (x) => 4e-3 + x + spring.positionNoise_m * random.normal());
  return { position_m, force_N };
}

export const drawSpring = (random: Random): PulledSpring => ({
  rate_N_per_m: 10 ** random.uniform(2, 3),
  preload_N: random.uniform(0.3, 3),
  friction_N: random.uniform(0.05, 1.2),
  presliding_m: random.uniform(0.03e-3, 0.25e-3),
  noise_N: random.uniform(0.003, 0.03),
  wander_N: random.uniform(0, 0.015),
  positionNoise_m: random.uniform(2e-6, 8e-6),
});
