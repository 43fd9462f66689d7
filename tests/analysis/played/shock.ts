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
  readonly stop: {
    readonly position_m: number;
    readonly stiffness_N_per_m: number;
    /** Touched on the way out instead of on the way in. */
    readonly atExtension?: boolean;
  } | null;
  /** Relative change of linear damping over the recording, from the oil warming. */
  readonly thinning: number;
  /** A spring beside the shock, slack at x = 0. */
  readonly spring_N_per_m?: number;
  /** Exponent of the turbulent part where it is not 2. */
  readonly turbulentPower?: number;
  /** Above this speed damping rises with a share of its slope only, as past a valve that opens. */
  readonly blowOff?: { readonly speed_m_per_s: number; readonly slope: number };
  /** Drag at a position over drag as stated, where it changes along the stroke. */
  readonly dragAlong?: (position_m: number) => number;
  /** More drag near one position. */
  readonly binding?: { readonly position_m: number; readonly width_m: number; readonly force_N: number };
  /** Drag that builds up and breaks away over and over below a speed. */
  readonly stickSlip?: {
    readonly height_N: number;
    readonly tooth_m: number;
    readonly speed_m_per_s: number;
  };
}

/** A shock with its seal's memory: advances one step and returns the force, inertia left out, N. */
export type FeltStep = (
  position_m: number,
  velocity_m_per_s: number,
  step_s: number,
  share: number,
) => number;

/**
 * Follows a shock from step to step. LuGre seal by its exact step for constant level.
 * @returns a step function; its `share` is how much of the recording has passed, 0 to 1
 */
export function feel(shock: PlayedShock): FeltStep {
  const mean = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
  const up = shock.dragCompression_N / mean;
  const down = shock.dragRebound_N / mean;
  const { area_m2, pressure_Pa, volume_m3, exponent } = shock.gas;
  const slip = shock.stickSlip ? stickAndSlip(shock.stickSlip) : null;
  let state = shock.startState;
  let sinceReversal_m = 1;
  let lastSign = 0;
  return (x, v, step_s, share) => {
    const sign = Math.sign(v);
    const ratio = v / shock.stribeckSpeed_m_per_s;
    const level = 1 + (shock.breakawayRatio - 1) * Math.exp(-ratio * ratio);
    const moved = Math.abs(v) * step_s;
    const target = sign * level;
    if (sign !== 0) state = target + (state - target) * Math.exp(-moved / (shock.presliding_m * level));
    let drag = mean * state * (state > 0 ? up : down);
    if (shock.dragAlong) drag *= shock.dragAlong(x);
    if (shock.binding) {
      const { position_m, width_m, force_N } = shock.binding;
      drag += state * force_N * Math.exp(-0.5 * ((x - position_m) / width_m) ** 2);
    }
    if (slip) drag += state * slip(moved, v);
    if (sign !== 0 && sign !== lastSign) {
      sinceReversal_m = 0;
      lastSign = sign;
    }
    sinceReversal_m += moved;
    const way = v > 0 ? shock.compression : shock.rebound;
    const speed = Math.abs(v);
    const turbulent = way.quadratic * (shock.turbulentPower ? speed ** shock.turbulentPower : speed * speed);
    let damping = sign * (way.linear * (1 - shock.thinning * (share - 0.5)) * speed + turbulent);
    if (shock.blowOff && speed > shock.blowOff.speed_m_per_s) {
      const { speed_m_per_s, slope } = shock.blowOff;
      damping *= (speed_m_per_s + slope * (speed - speed_m_per_s)) / speed;
    }
    if (shock.deadStroke_m > 0) damping /= 1 + (shock.deadStroke_m / sinceReversal_m) ** 3;
    const gas = area_m2 * (pressure_Pa * (volume_m3 / (volume_m3 - area_m2 * x)) ** exponent - atmosphere_Pa);
    if (shock.ceiling_N !== null && damping > shock.ceiling_N) damping = shock.ceiling_N;
    return drag + damping + gas + stopForce(shock, x) + (shock.spring_N_per_m ?? 0) * x;
  };
}

function stopForce({ stop }: PlayedShock, x: number): number {
  if (!stop) return 0;
  const into_m = stop.atExtension ? Math.min(0, x - stop.position_m) : Math.max(0, x - stop.position_m);
  return stop.stiffness_N_per_m * into_m;
}

/** A saw of drag over the path, whose teeth differ in length and vanish with speed; N, zero on average. */
function stickAndSlip({ height_N, tooth_m, speed_m_per_s }: NonNullable<PlayedShock['stickSlip']>) {
  let along = 0;
  let length_m = tooth_m;
  let tooth = 0;
  return (moved_m: number, v: number) => {
    along += moved_m / length_m;
    if (along >= 1) {
      along -= 1;
      // The golden section scatters the lengths evenly without a source of chance.
      tooth = (tooth + 0.6180339887) % 1;
      length_m = tooth_m * (0.6 + 0.8 * tooth);
    }
    const fade = Math.exp(-((v / speed_m_per_s) ** 2));
    const slipShare = 0.06;
    const saw = along < 1 - slipShare ? along / (1 - slipShare) : (1 - along) / slipShare;
    return height_N * fade * (saw - 0.5);
  };
}

/** Force the cell would feel at an instant, on the motion's grid, N. */
export function playForce(shock: PlayedShock, motion: PlayedMotion): Float64Array {
  const { position_m, velocity_m_per_s, step_s } = motion;
  const n = position_m.length;
  const force_N = new Float64Array(n);
  const step = feel(shock);
  for (let k = 0; k < n; k++) {
    const before = velocity_m_per_s[Math.max(0, k - 1)]!;
    const after = velocity_m_per_s[Math.min(n - 1, k + 1)]!;
    const acceleration = (after - before) / (2 * step_s);
    const felt = step(position_m[k]!, velocity_m_per_s[k]!, step_s, k / n);
    force_N[k] = felt + shock.movingMass_kg * acceleration;
  }
  return force_N;
}

/**
 * The same with a loose eye: the shaft may lag the drive by up to `play_m`. Between pushing and pulling nothing
 * touches, the cell feels nothing, and the shaft moves as gas, seal and oil let it. Contact rings out in about a
 * millisecond, which two running means stand for.
 */
export function playForceWithPlay(shock: PlayedShock, motion: PlayedMotion, play_m: number): Float64Array {
  const { position_m: drive, step_s } = motion;
  const n = drive.length;
  const force_N = new Float64Array(n);
  const step = feel({ ...shock, deadStroke_m: 0 });
  const free = 0.5 * (shock.compression.linear + shock.rebound.linear);
  let shaft = drive[0]!;
  let felt = 0;
  let pushed = 0;
  for (let k = 0; k < n; k++) {
    // Let alone, the shaft gives way to the force it held a moment ago, slowed by the oil.
    const freely = shaft - (pushed / free) * step_s;
    const next = Math.min(drive[k]! + play_m, Math.max(drive[k]!, freely));
    const touching = next !== freely;
    const v = (next - shaft) / step_s;
    felt = step(next, v, step_s, k / n);
    const way = v > 0 ? shock.compression : shock.rebound;
    pushed = felt - way.linear * v;
    force_N[k] = touching ? felt : 0;
    shaft = next;
  }
  const width = Math.max(1, Math.round(0.5e-3 / step_s));
  return runningMean(runningMean(force_N, width), width);
}

/** Mean over the latest `width` values, causal. */
export function runningMean(values: Float64Array, width: number): Float64Array {
  const out = new Float64Array(values.length);
  let sum = 0;
  for (let k = 0; k < values.length; k++) {
    sum += values[k]! - (k >= width ? values[k - width]! : 0);
    out[k] = sum / Math.min(k + 1, width);
  }
  return out;
}
