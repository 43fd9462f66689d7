/** A shock as played; forces are magnitudes per direction, compression first. */
export interface PlayedShock {
  readonly drag_N: readonly [compression: number, rebound: number];
  readonly breakawayRatio: number;
  readonly linear_Ns_per_m: readonly [compression: number, rebound: number];
  readonly quadratic_Ns2_per_m2: readonly [compression: number, rebound: number];
  readonly gas: { readonly offset_N: number; readonly rate_N_per_m: number };
  readonly movingMass_kg: number;
}

export interface PlayedCrank {
  readonly radius_m: number;
  readonly rod_m: number;
  /** Crank speed at full power. */
  readonly fullPower_rev_per_s: number;
  /** How fast the speed follows the power. */
  readonly settling_s: number;
  /** Relative change of speed, once a turn. */
  readonly ripple: number;
}

/** A shock on a crank, some time after power-on. */
export interface MovingShock {
  /** Lets time pass in steps of `step_s`; the force cell is told of each. */
  playUntil(time_s: number): void;
  /** The motor driver's power, 0 to 1. */
  power: number;
  readonly speed_rev_per_s: number;
  readonly angle_rad: number;
  /** Into compression, from full extension. */
  readonly position_m: number;
  readonly force_N: number;
  /** Pushes from outside, added to the force. */
  push_N: number;
}

export const step_s = 50e-6;

const stribeckSpeed_m_per_s = 4e-3;
const presliding_m = 80e-6;

/**
 * Plays a shock on a slider-crank that a motor turns.
 * @param onForce called with the force after each step
 * Notes: the seal grips over its presliding travel and then slides, at a level that falls from breakaway to drag as the
 *   speed grows (LuGre's law, its exact step for a constant level). Written apart from the analysis and from the
 *   simulated rig, so that no error can be shared.
 */
export function movingShock(
  shock: PlayedShock,
  crank: PlayedCrank,
  onForce: (force_N: number) => void,
): MovingShock {
  const { radius_m: R, rod_m: L } = crank;
  let steps = 0;
  let phase = 0.4;
  let speed = 0;
  let seal = 0;
  let before_m_per_s = 0;

  const sliderAt = (angle: number) =>
    R + L - (R * Math.cos(angle) + Math.sqrt(L * L - (R * Math.sin(angle)) ** 2));

  const moving = {
    power: 0,
    push_N: 0,
    force_N: 0,
    position_m: sliderAt(phase),
    get speed_rev_per_s() {
      return speed;
    },
    get angle_rad() {
      return phase;
    },
    playUntil(time_s: number) {
      while ((steps + 1) * step_s <= time_s) {
        steps++;
        step();
        onForce(moving.force_N);
      }
    },
  };

  function step() {
    speed += ((moving.power * crank.fullPower_rev_per_s - speed) * step_s) / crank.settling_s;
    const omega = 2 * Math.PI * speed * (1 + crank.ripple * Math.sin(phase + 0.7));
    phase += omega * step_s;
    const sine = Math.sin(phase);
    const along = Math.sqrt(L * L - (R * sine) ** 2);
    const velocity = omega * R * sine * (1 + (R * Math.cos(phase)) / along);
    const way = velocity >= 0 ? 0 : 1;
    const drag = 0.5 * (shock.drag_N[0] + shock.drag_N[1]);
    const level = 1 + (shock.breakawayRatio - 1) * Math.exp(-((velocity / stribeckSpeed_m_per_s) ** 2));
    const target = Math.sign(velocity) * level;
    if (velocity !== 0)
      seal = target + (seal - target) * Math.exp((-Math.abs(velocity) * step_s) / (presliding_m * level));
    const share = shock.drag_N[seal >= 0 ? 0 : 1] / drag;
    const damping =
      shock.linear_Ns_per_m[way] * velocity + shock.quadratic_Ns2_per_m2[way] * velocity * Math.abs(velocity);
    moving.position_m = sliderAt(phase);
    const gas = shock.gas.offset_N + shock.gas.rate_N_per_m * moving.position_m;
    const inertia = (shock.movingMass_kg * (velocity - before_m_per_s)) / step_s;
    before_m_per_s = velocity;
    moving.force_N = drag * seal * share + damping + gas + inertia + moving.push_N;
  }
  return moving;
}
