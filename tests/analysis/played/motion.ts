import type { Random } from './random.js';

/** Prescribed shaft motion on a fine uniform grid: position and velocity, positive into compression. */
export interface PlayedMotion {
  readonly step_s: number;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
}

const playedStep_s = 20e-6;

export interface CrankScript {
  readonly radius_m: number;
  readonly rod_m: number;
  readonly speeds_Hz: readonly number[];
  readonly seconds: readonly number[];
  /** Relative speed ripple once and twice a turn. */
  readonly ripple: number;
  /** Step of the grid; 20 µs where nothing is said. */
  readonly step_s?: number;
}

/** A slider-crank turned through a ladder of speeds, each step ramped in over 0.3 s. */
export function playCrank(script: CrankScript, random: Random): PlayedMotion {
  const { radius_m: R, rod_m: L, step_s = playedStep_s } = script;
  const total = script.seconds.reduce((a, b) => a + b, 0);
  const n = Math.round(total / step_s);
  const position_m = new Float64Array(n);
  const velocity_m_per_s = new Float64Array(n);
  const ripplePhase = random.uniform(0, 2 * Math.PI);
  let phase = random.uniform(0, 2 * Math.PI);
  let step = 0;
  let stepEnds = script.seconds[0]!;
  let speed_Hz = 0;
  for (let k = 0; k < n; k++) {
    const t = k * step_s;
    if (t >= stepEnds && step < script.speeds_Hz.length - 1) stepEnds += script.seconds[++step]!;
    const slew = (3 / 0.3) * step_s;
    const wanted = script.speeds_Hz[step]!;
    speed_Hz += Math.max(-slew, Math.min(slew, wanted - speed_Hz));
    const ripple =
      1 + script.ripple * (Math.sin(phase + ripplePhase) + 0.5 * Math.sin(2 * phase + 1.7 * ripplePhase));
    const omega = 2 * Math.PI * speed_Hz * ripple;
    const sine = Math.sin(phase);
    const cosine = Math.cos(phase);
    const along = Math.sqrt(L * L - R * R * sine * sine);
    position_m[k] = R + L - (R * cosine + along);
    velocity_m_per_s[k] = omega * (R * sine + (R * R * sine * cosine) / along);
    phase += omega * step_s;
  }
  return { step_s, position_m, velocity_m_per_s };
}

export interface SweepScript {
  readonly travel_m: number;
  /** One out-and-back stroke pair per speed. */
  readonly speeds_m_per_s: readonly number[];
  readonly dwell_s: number;
  readonly acceleration_m_per_s2: number;
  /** Step of the grid; 20 µs where nothing is said. */
  readonly step_s?: number;
}

/** Constant-speed strokes, one pair per speed, with rounded reversals and a rest at each end. */
export function playSweep(script: SweepScript): PlayedMotion {
  const { step_s = playedStep_s } = script;
  const velocity: number[] = [];
  for (const speed of script.speeds_m_per_s)
    for (const direction of [1, -1]) {
      const ramp = Math.max(2, Math.round(speed / script.acceleration_m_per_s2 / step_s));
      const cruise = Math.max(0, Math.round(script.travel_m / speed / step_s) - ramp);
      for (let k = 0; k < ramp; k++) velocity.push((direction * speed * (k + 0.5)) / ramp);
      for (let k = 0; k < cruise; k++) velocity.push(direction * speed);
      for (let k = 0; k < ramp; k++) velocity.push(direction * speed * (1 - (k + 0.5) / ramp));
      for (let k = 0; k < Math.round(script.dwell_s / step_s); k++) velocity.push(0);
    }
  const velocity_m_per_s = Float64Array.from(velocity);
  const position_m = new Float64Array(velocity.length);
  for (let k = 1; k < velocity.length; k++)
    position_m[k] = position_m[k - 1]! + 0.5 * (velocity_m_per_s[k - 1]! + velocity_m_per_s[k]!) * step_s;
  return { step_s, position_m, velocity_m_per_s };
}
