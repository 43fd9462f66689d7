import { randomFrom } from '../analysis/played/random.js';
import { type PulledSpring, pullAlong, pullShapes } from '../analysis/spring/pull-shapes.js';

export const invented: PulledSpring = {
  rate_N_per_m: 281,
  preload_N: 1.2,
  friction_N: 0.3,
  presliding_m: 0.08e-3,
  noise_N: 0.01,
  wander_N: 0.004,
  positionNoise_m: 4e-6,
};

/** A pull as CSV text; the position begins at 4 mm. @param path_m there and back in five cycles unless given */
export function pullCsv(
  change: Partial<PulledSpring> = {},
  path_m?: readonly number[],
  force: (force_N: number, position_m: number) => number = (force_N) => force_N,
): string {
  const random = randomFrom(77);
  const path = path_m ?? pullShapes['five cycles']!(random);
  const { position_m, force_N } = pullAlong(path, { ...invented, ...change }, random);
  const rows = Array.from(
    position_m,
    (x, i) => `${(i / 80).toFixed(4)},${(1e3 * x).toFixed(5)},${force(force_N[i]!, x).toFixed(5)}`,
  );
  return ['time_s,displacement_mm,force_N', ...rows, ''].join('\n');
}
