import type { RandomStream } from './random.js';

/** The motor and its crank; the slide's position is compression from the crank's outer dead centre. */
export interface CrankDrive {
  /** Asks for another speed; the crank gets there by the soft start, or by the brake when asked to stop. */
  command(speed_rev_per_s: number): void;
  /** Moves on by dt. */
  step(dt_s: number): void;
  readonly commanded_rev_per_s: number;
  readonly atRest: boolean;
  readonly angle_rad: number;
  readonly position_m: number;
}

export interface CrankGeometry {
  readonly radius_m: number;
  readonly rod_m: number;
}

export interface DriveBehaviour {
  readonly softStart_rev_per_s2: number;
  readonly brake_rev_per_s2: number;
  /** Relative speed ripple once and twice per revolution, with its phase. */
  readonly ripple: readonly { readonly amplitude: number; readonly phase_rad: number }[];
  /** Standard deviation and correlation time of the slow relative wander of the speed. */
  readonly wander: number;
  readonly wander_s: number;
}

/**
 * Starts a crank at rest.
 * @param geometry radius and rod length of the slider-crank
 * @param behaviour ramps, ripple and wander
 * @param angle_rad where it stands, 0 for full extension
 * @param random draws the wander
 * Notes: position by the exact slider-crank, R + L − R·cosθ − √(L² − R²·sin²θ). The wander is a first-order noise
 *   smoothed once more, so that the acceleration stays finite.
 */
export function crankDrive(
  geometry: CrankGeometry,
  behaviour: DriveBehaviour,
  angle_rad: number,
  random: RandomStream,
): CrankDrive {
  const { radius_m, rod_m } = geometry;
  const [once, twice] = behaviour.ripple.map(({ amplitude, phase_rad }) => ({
    cosine: amplitude * Math.cos(phase_rad),
    sine: amplitude * Math.sin(phase_rad),
  }));
  const wanderStep_s = 0.02 * behaviour.wander_s;
  const wanderKeep = 0.98;
  const wanderKick = behaviour.wander * Math.sqrt(1 - wanderKeep ** 2);
  let wanderAim = behaviour.wander * random.normal();
  let wander = wanderAim;
  let sinceWander_s = 0;
  let speed_rev_per_s = 0;
  let commanded = 0;
  let angle = angle_rad;
  let cosine = Math.cos(angle);
  let sine = Math.sin(angle);

  function ramp(dt_s: number) {
    if (speed_rev_per_s === commanded) return;
    const rate = commanded === 0 ? behaviour.brake_rev_per_s2 : behaviour.softStart_rev_per_s2;
    const change = commanded - speed_rev_per_s;
    const largest = rate * dt_s;
    speed_rev_per_s = Math.abs(change) <= largest ? commanded : speed_rev_per_s + Math.sign(change) * largest;
  }

  function wanderOn(dt_s: number) {
    sinceWander_s += dt_s;
    if (sinceWander_s >= wanderStep_s) {
      sinceWander_s -= wanderStep_s;
      wanderAim = wanderAim * wanderKeep + wanderKick * random.normal();
    }
    wander += (wanderAim - wander) * ((5 * dt_s) / behaviour.wander_s);
  }

  return {
    command(next) {
      commanded = next;
    },
    step(dt_s) {
      ramp(dt_s);
      if (speed_rev_per_s === 0) return;
      wanderOn(dt_s);
      let ripple = 0;
      if (once) ripple += once.cosine * cosine - once.sine * sine;
      if (twice) ripple += twice.cosine * (1 - 2 * sine * sine) - twice.sine * 2 * sine * cosine;
      angle += 2 * Math.PI * speed_rev_per_s * (1 + wander + ripple) * dt_s;
      cosine = Math.cos(angle);
      sine = Math.sin(angle);
    },
    get commanded_rev_per_s() {
      return commanded;
    },
    get atRest() {
      return speed_rev_per_s === 0 && commanded === 0;
    },
    get angle_rad() {
      return angle;
    },
    get position_m() {
      const across = radius_m * sine;
      return radius_m + rod_m - radius_m * cosine - Math.sqrt(rod_m * rod_m - across * across);
    },
  };
}
