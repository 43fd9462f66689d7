import type { RandomStream } from './random.js';

/** The motor and its crank; the slide's position is compression from the crank's outer dead centre. */
export interface CrankDrive {
  /** Asks for another speed; the crank gets there by the soft start, or by the brake when asked to stop. */
  command(speed_rev_per_s: number): void;
  /** Turns the halted crank by hand. */
  turnByHand(angle_rad: number): void;
  /** Moves on by dt. */
  step(dt_s: number): void;
  readonly commanded_rev_per_s: number;
  /** Mean speed now, ripple and wander left out. */
  readonly speed_rev_per_s: number;
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
  readonly ripple: {
    readonly once: number;
    readonly oncePhase_rad: number;
    readonly twice: number;
    readonly twicePhase_rad: number;
  };
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
  const { once, oncePhase_rad, twice, twicePhase_rad } = behaviour.ripple;
  const onceCosine = once * Math.cos(oncePhase_rad);
  const onceSine = once * Math.sin(oncePhase_rad);
  const twiceCosine = twice * Math.cos(twicePhase_rad);
  const twiceSine = twice * Math.sin(twicePhase_rad);
  const wanderStep_s = 0.02 * behaviour.wander_s;
  const wanderKeep = 0.98;
  const wanderKick = behaviour.wander * Math.sqrt(1 - wanderKeep ** 2);
  const firstWander = behaviour.wander * random.normal();
  const wander = { now: firstWander, aim: firstWander, since_s: 0 };

  function ramp(dt_s: number) {
    const change = crank.commanded_rev_per_s - crank.speed_rev_per_s;
    if (change === 0) return;
    const rate =
      crank.commanded_rev_per_s === 0 ? behaviour.brake_rev_per_s2 : behaviour.softStart_rev_per_s2;
    const largest = rate * dt_s;
    crank.speed_rev_per_s =
      Math.abs(change) <= largest
        ? crank.commanded_rev_per_s
        : crank.speed_rev_per_s + Math.sign(change) * largest;
  }

  function wanderOn(dt_s: number) {
    wander.since_s += dt_s;
    if (wander.since_s >= wanderStep_s) {
      wander.since_s -= wanderStep_s;
      wander.aim = wander.aim * wanderKeep + wanderKick * random.normal();
    }
    wander.now += (wander.aim - wander.now) * ((5 * dt_s) / behaviour.wander_s);
  }

  function turnTo(angle: number) {
    crank.angle_rad = angle;
    crank.cosine = Math.cos(angle);
    crank.sine = Math.sin(angle);
    const across_m = radius_m * crank.sine;
    crank.position_m =
      radius_m + rod_m - radius_m * crank.cosine - Math.sqrt(rod_m * rod_m - across_m * across_m);
  }

  const crank = {
    commanded_rev_per_s: 0,
    speed_rev_per_s: 0,
    angle_rad: 0,
    cosine: 1,
    sine: 0,
    position_m: 0,
    command(next: number) {
      crank.commanded_rev_per_s = next;
    },
    turnByHand(angle: number) {
      turnTo(angle);
    },
    step(dt_s: number) {
      ramp(dt_s);
      if (crank.speed_rev_per_s === 0) return;
      wanderOn(dt_s);
      const { cosine, sine } = crank;
      const ripple =
        onceCosine * cosine -
        onceSine * sine +
        twiceCosine * (1 - 2 * sine * sine) -
        twiceSine * (2 * sine * cosine);
      const turn_rad = 2 * Math.PI * crank.speed_rev_per_s * (1 + wander.now + ripple) * dt_s;
      turnTo(crank.angle_rad + turn_rad);
    },
    get atRest() {
      return crank.speed_rev_per_s === 0 && crank.commanded_rev_per_s === 0;
    },
  };
  turnTo(angle_rad);
  return crank;
}
