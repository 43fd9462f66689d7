import type { PlayedShock } from './played-shock.js';
import type { RigMount } from './rig-hardware.js';

/** Between slide and shock: passes the slide's motion on and the shock's force back. */
export interface Mount {
  /**
   * @param slide_m where the slide is at the step's end, in the shock's coordinate
   * @param dt_s duration of the step
   * @returns force on the cell at the step's end, N, inertia of the moving mass included
   */
  step(slide_m: number, dt_s: number): number;
}

/** Joins a shock to the slide: stiffly, or through an elastic joint with play when the mount is given a stiffness. */
export function joinShock(mount: RigMount, shock: PlayedShock, mass_kg: number, slide_m: number): Mount {
  return mount.stiffness_N_per_m > 0
    ? elasticMount(mount, shock, mass_kg, slide_m)
    : stiffMount(shock, mass_kg, slide_m);
}

function stiffMount(shock: PlayedShock, mass_kg: number, start_m: number): Mount {
  const eye = { position_m: start_m, velocity: 0 };
  return {
    step(slide_m, dt_s) {
      const travel_m = slide_m - eye.position_m;
      const velocity = travel_m / dt_s;
      const inertia_N = (mass_kg * (velocity - eye.velocity)) / dt_s;
      eye.position_m = slide_m;
      eye.velocity = velocity;
      return shock.step(slide_m, travel_m, dt_s) + inertia_N;
    },
  };
}

/**
 * The moving mass hangs on a spring and dashpot that do not reach each other within the play.
 * Notes: semi-implicit Euler; 10 g on 10⁵ N/m swings 500 times a second, 100 steps of 20 µs per swing.
 */
function elasticMount(mount: RigMount, shock: PlayedShock, mass_kg: number, start_m: number): Mount {
  const { stiffness_N_per_m, damping_Ns_per_m, play_m } = mount;
  let slideBefore_m = start_m;
  let eye_m = start_m;
  let velocity = 0;
  let shock_N = 0;
  return {
    step(slide_m, dt_s) {
      const apart = slide_m - eye_m;
      const pressed = Math.abs(apart) > play_m / 2 ? apart - Math.sign(apart) * (play_m / 2) : 0;
      const closing = (slide_m - slideBefore_m) / dt_s - velocity;
      slideBefore_m = slide_m;
      const joint_N = pressed === 0 ? 0 : stiffness_N_per_m * pressed + damping_Ns_per_m * closing;
      velocity += ((joint_N - shock_N) / mass_kg) * dt_s;
      const travel_m = velocity * dt_s;
      eye_m += travel_m;
      shock_N = shock.step(eye_m, travel_m, dt_s);
      return joint_N;
    },
  };
}
