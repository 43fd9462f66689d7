import type { PlayedMotion } from './motion.js';

const atmosphere_Pa = 101325;

/** Parameters of a played shock, quoted the way an analysis should report them. */
export interface PlayedShock {
  readonly dragCompression_N: number;
  readonly dragRebound_N: number;
  /** Friction at zero speed over sliding friction. */
  readonly breakawayRatio: number;
  readonly stribeckSpeed_m_per_s: number;
  readonly presliding_m: number;
  /** Seal state at the start, as a share of the sliding level, −1 to 1. */
  readonly startState: number;
  readonly compression: { readonly linear: number; readonly quadratic: number };
  readonly rebound: { readonly linear: number; readonly quadratic: number };
  readonly gas: {
    readonly area_m2: number;
    readonly pressure_Pa: number;
    readonly volume_m3: number;
    readonly exponent: number;
  };
  readonly movingMass_kg: number;
  /** Damping alone never exceeds this in compression; null where nothing cavitates. */
  readonly ceiling_N: number | null;
  /** Travel after a reversal at which damping has reached half; 0 for oil without air. */
  readonly deadStroke_m: number;
  readonly stop: { readonly position_m: number; readonly stiffness_N_per_m: number } | null;
  /** Relative change of linear damping over the recording, from the oil warming. */
  readonly thinning: number;
}

/** Force the cell would feel at an instant, on the motion's grid, N. LuGre seal by its exact step for constant level. */
export function playForce(shock: PlayedShock, motion: PlayedMotion): Float64Array {
  const { position_m, velocity_m_per_s, step_s } = motion;
  const n = position_m.length;
  const force_N = new Float64Array(n);
  const mean = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
  const up = shock.dragCompression_N / mean;
  const down = shock.dragRebound_N / mean;
  let state = shock.startState;
  let sinceReversal_m = 1;
  let lastSign = 0;
  const { area_m2, pressure_Pa, volume_m3, exponent } = shock.gas;
  for (let k = 0; k < n; k++) {
    const v = velocity_m_per_s[k]!;
    const x = position_m[k]!;
    const sign = Math.sign(v);
    const ratio = v / shock.stribeckSpeed_m_per_s;
    const level = 1 + (shock.breakawayRatio - 1) * Math.exp(-ratio * ratio);
    const moved = Math.abs(v) * step_s;
    const target = sign * level;
    if (sign !== 0) state = target + (state - target) * Math.exp(-moved / (shock.presliding_m * level));
    const drag = mean * state * (state > 0 ? up : down);
    if (sign !== 0 && sign !== lastSign) {
      sinceReversal_m = 0;
      lastSign = sign;
    }
    sinceReversal_m += moved;
    const thin = 1 - shock.thinning * (k / n - 0.5);
    const way = v > 0 ? shock.compression : shock.rebound;
    let damping = way.linear * thin * v + way.quadratic * v * Math.abs(v);
    if (shock.deadStroke_m > 0) damping /= 1 + (shock.deadStroke_m / sinceReversal_m) ** 3;
    const gas = area_m2 * (pressure_Pa * (volume_m3 / (volume_m3 - area_m2 * x)) ** exponent - atmosphere_Pa);
    if (shock.ceiling_N !== null && damping > shock.ceiling_N) damping = shock.ceiling_N;
    const stop =
      shock.stop && x > shock.stop.position_m
        ? shock.stop.stiffness_N_per_m * (x - shock.stop.position_m)
        : 0;
    const before = velocity_m_per_s[Math.max(0, k - 1)]!;
    const after = velocity_m_per_s[Math.min(n - 1, k + 1)]!;
    const acceleration = (after - before) / (2 * step_s);
    force_N[k] = drag + damping + gas + stop + shock.movingMass_kg * acceleration;
  }
  return force_N;
}
