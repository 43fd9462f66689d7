import { shockHeat, smallShockBody } from './heat.js';
import { type PistonFlow, pistonFlow } from './piston-flow.js';
import { sealFriction } from './seal-friction.js';
import { shaftSide } from './shaft-side.js';
import { annulus_m2, atmosphere_Pa, type SimulatedShock, shaft_m2 } from './shock-parameters.js';
import { trappedGas } from './trapped-gas.js';

/** A shock in motion. The parts sum to `force_N`; each is positive when it pushes back against compression. */
export interface PlayedShock {
  /**
   * Moves the shaft by one step of at most 20 µs.
   * @param position_m compression from full extension at the step's end
   * @param travel_m signed travel in the step
   * @param dt_s its duration
   * @returns the force at the step's end, N
   */
  step(position_m: number, travel_m: number, dt_s: number): number;
  /** Brings oil and body temperatures up to date and the piston's resistance with them; call about once per ms. */
  warm(dt_s: number): void;
  readonly seal_N: number;
  readonly damping_N: number;
  readonly gas_N: number;
  readonly stop_N: number;
  readonly spring_N: number;
  readonly force_N: number;
  /** Pressure drop over the piston, Pa, positive in compression. */
  readonly drop_Pa: number;
  /** Heat made in oil and seal since the start, J; what the seal stores while it shears is counted too. */
  readonly heat_J: number;
  readonly oil_degC: number;
  readonly body_degC: number;
}

export interface ShockStart {
  readonly position_m: number;
  readonly oil_degC: number;
  readonly room_degC: number;
  /** Relative change of the seal's levels from mid-stroke to full stroke, by side load on a crooked mount. */
  readonly sideLoad: number;
  /** Half of the stroke over which that change counts. */
  readonly halfStroke_m: number;
}

/**
 * Puts a shock on the rig, at rest and relaxed.
 * @param shock what it is made of
 * @param start position, temperatures and how crooked it sits
 */
export function playedShock(shock: SimulatedShock, start: ShockStart): PlayedShock {
  const annulus = annulus_m2(shock);
  const shaft = shaft_m2(shock);
  const heat = shockHeat(smallShockBody, start.oil_degC, start.room_degC);
  const seal = sealFriction(shock.seal);
  const gas = trappedGas(shock.gas, shaft * start.position_m, start.oil_degC);
  const side = shaftSide(
    annulus,
    shock.air,
    shock.release_Pa,
    gas.step(shaft * start.position_m, 0, start.oil_degC),
  );
  const { spring, stop, binding } = shock;
  const energised = shock.seal.energised_N_per_Pa;
  let flow: PistonFlow = pistonFlow(shock.piston, shock.bore_m, shock.oil, start.oil_degC);
  let heatWarmed_J = 0;

  function extraLevel_N(position_m: number, gas_Pa: number): number {
    const gauge_Pa = gas_Pa - played.drop_Pa - atmosphere_Pa;
    const pressed = gauge_Pa > 0 ? energised * gauge_Pa : 0;
    if (!binding) return pressed;
    const away = (position_m - binding.position_m) / binding.halfWidth_m;
    return pressed + binding.extra_N * Math.exp(-away * away);
  }

  function stopForce_N(position_m: number, velocity: number): number {
    const depth = stop ? position_m - stop.position_m : 0;
    if (!stop || depth <= 0) return 0;
    return Math.max(0, stop.stiffness_N_per_m * depth + stop.damping_Ns_per_m * velocity);
  }

  const played = {
    seal_N: 0,
    damping_N: 0,
    gas_N: 0,
    stop_N: 0,
    spring_N: 0,
    force_N: 0,
    drop_Pa: 0,
    heat_J: 0,
    oil_degC: start.oil_degC,
    body_degC: start.oil_degC,
    step(position_m: number, travel_m: number, dt_s: number): number {
      const velocity = travel_m / dt_s;
      const gas_Pa = gas.step(shaft * position_m + side.void_m3, dt_s, heat.body_degC);
      const drop_Pa = side.step(velocity, dt_s, flow, gas_Pa);
      played.drop_Pa = drop_Pa;
      const shear_N = flow.gapShear_Ns_per_m * velocity;
      seal.levelFactor = 1 + start.sideLoad * (position_m / start.halfStroke_m - 1);
      played.seal_N = seal.step(travel_m, dt_s, extraLevel_N(position_m, gas_Pa));
      played.damping_N = drop_Pa * (annulus - flow.gapDrag_m2) + shear_N;
      played.gas_N = (gas_Pa - atmosphere_Pa) * shaft;
      played.stop_N = stopForce_N(position_m, velocity);
      if (spring) played.spring_N = spring.preload_N + spring.rate_N_per_m * position_m;
      played.force_N = played.seal_N + played.damping_N + played.gas_N + played.stop_N + played.spring_N;
      const inOil_W = drop_Pa * (side.through_m3_per_s - flow.gapDrag_m2 * velocity) + shear_N * velocity;
      played.heat_J += inOil_W * dt_s + played.seal_N * travel_m;
      return played.force_N;
    },
    warm(dt_s: number): void {
      heat.step(played.heat_J - heatWarmed_J, dt_s);
      heatWarmed_J = played.heat_J;
      played.body_degC = heat.body_degC;
      if (Math.abs(heat.oil_degC - played.oil_degC) < 0.002) return;
      played.oil_degC = heat.oil_degC;
      flow = pistonFlow(shock.piston, shock.bore_m, shock.oil, heat.oil_degC);
    },
  };
  return played satisfies PlayedShock;
}
