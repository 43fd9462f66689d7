import type { Random } from '../played/random.js';

export interface PlayedPull {
  readonly rate_N_per_m: number;
  readonly preload_N: number;
  readonly friction_N: number;
  /** Growth of friction along the travel, per metre. */
  readonly frictionGrowth_per_m?: number;
  readonly presliding_m: number;
  /** Quadratic part of the spring's force, N/m². */
  readonly progressive_N_per_m2?: number;
  readonly noise_N: number;
  readonly travel_m: number;
  readonly strokes: number;
  readonly samplesPerStroke: number;
}

/** Positions and forces of a slow pull with a seal that shears before it slides. */
export function playPull(
  pull: PlayedPull,
  random: Random,
): { position_m: Float64Array; force_N: Float64Array } {
  const n = pull.strokes * pull.samplesPerStroke + 1;
  const position_m = new Float64Array(n);
  const force_N = new Float64Array(n);
  let state = 0;
  let x = 0;
  for (let i = 0; i < n; i++) {
    const stroke = Math.min(pull.strokes - 1, Math.floor(i / pull.samplesPerStroke));
    const share = (i - stroke * pull.samplesPerStroke) / pull.samplesPerStroke;
    const sign = stroke % 2 === 0 ? 1 : -1;
    const next = pull.travel_m * (sign > 0 ? share : 1 - share);
    state = sign + (state - sign) * Math.exp(-Math.abs(next - x) / pull.presliding_m);
    x = next;
    const friction = pull.friction_N * (1 + (pull.frictionGrowth_per_m ?? 0) * x);
    position_m[i] = 0.003 + x + 3e-6 * random.normal();
    force_N[i] =
      pull.preload_N +
      pull.rate_N_per_m * x +
      (pull.progressive_N_per_m2 ?? 0) * x * x +
      friction * state +
      pull.noise_N * random.normal();
  }
  return { position_m, force_N };
}
