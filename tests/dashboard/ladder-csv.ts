import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { skipN } from 'pure-rand/utils/skipN';

export interface LadderOptions {
  readonly seed: number;
  readonly drag_N: number;
  readonly damping_Ns_per_m: number;
  readonly duration_s?: number;
  readonly noise_N?: number;
}

const SPEEDS_REV_PER_S = [0.31, 0.73, 1.43, 2.19, 3.07];
const RATE_HZ = 320;
const AMPLITUDE_M = 0.01;
const PRESLIDING_M = 6e-5;

/**
 * A recording as CSV text whose truth is known by construction: a crank that runs through five speeds, constant drag that
 * builds up over a presliding length, linear damping, a gas force, noise. It is simpler than any shock on purpose; what the
 * analysis makes of real shocks is tested elsewhere.
 */
export function ladderCsv(options: LadderOptions): string {
  const { duration_s = 20, noise_N = 0.02 } = options;
  const random = xoroshiro128plus(options.seed);
  skipN(random, 64);
  const rows = ['time_s,displacement_mm,force_N,temperature_degC'];
  const count = duration_s * RATE_HZ;
  let phase_rad = 0.3;
  let friction_N = 0;
  let previous_m = positionAt(phase_rad);
  for (let i = 0; i < count; i++) {
    const speed = SPEEDS_REV_PER_S[Math.floor((i / count) * SPEEDS_REV_PER_S.length)]!;
    const rate_rad_per_s = 2 * Math.PI * speed;
    const position_m = positionAt(phase_rad);
    const velocity_m_per_s = AMPLITUDE_M * Math.sin(phase_rad) * rate_rad_per_s;
    const step_m = position_m - previous_m;
    const level_N = Math.sign(step_m) * options.drag_N;
    friction_N = level_N + (friction_N - level_N) * Math.exp(-Math.abs(step_m) / PRESLIDING_M);
    const gas_N = 1.1 + 40 * position_m;
    const noise = noise_N * gaussian(() => uniformFloat64(random));
    const force_N = gas_N + friction_N + options.damping_Ns_per_m * velocity_m_per_s + noise;
    rows.push(
      `${(i / RATE_HZ).toFixed(6)},${(position_m * 1e3).toFixed(5)},${force_N.toFixed(5)},${(24 + (0.2 * i) / count).toFixed(2)}`,
    );
    previous_m = position_m;
    phase_rad += rate_rad_per_s / RATE_HZ;
  }
  return `${rows.join('\n')}\n`;
}

function positionAt(phase_rad: number): number {
  return AMPLITUDE_M * (1 - Math.cos(phase_rad));
}

/** Standard normal deviate of two uniform ones (Box and Muller 1958). */
function gaussian(uniform: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}
