import { playedShock } from './played-shock.js';
import type { SimulatedShock } from './shock-parameters.js';

const steps = 20_000;

/**
 * Travel after a reversal at which damping has reached half of what it would be without air.
 * @param shock what is played; its air is what delays
 * @param half_m half of the stroke
 * @param frequency_Hz frequency of the sine it is moved with
 * @returns mm, mean of both reversals; 0 without air
 * Notes: the second cycle of two, at 25 °C; bubbles make it grow with force, so it depends on the frequency.
 */
export function deadStroke_mm(shock: SimulatedShock, half_m: number, frequency_Hz: number): number {
  if (shock.air.bubbles_m3 === 0 && shock.air.pocket_m3 === 0) return 0;
  const aired_N = dampingOfCycle_N(shock, half_m, frequency_Hz);
  const clear_N = dampingOfCycle_N({ ...shock, air: { bubbles_m3: 0, pocket_m3: 0 } }, half_m, frequency_Hz);
  const halfAt_m = (first: number, sign: number) => {
    for (let i = first + 1; i < first + steps / 2; i++)
      if (sign * aired_N[i]! >= 0.5 * sign * clear_N[i]! && sign * clear_N[i]! > 0)
        return half_m * (1 - Math.cos((2 * Math.PI * (i - first)) / steps));
    return 2 * half_m;
  };
  return 500 * (halfAt_m(0, 1) + halfAt_m(steps / 2, -1));
}

function dampingOfCycle_N(shock: SimulatedShock, half_m: number, frequency_Hz: number): Float64Array {
  const start = { position_m: 0, oil_degC: 25, room_degC: 25, sideLoad: 0, halfStroke_m: half_m };
  const played = playedShock(shock, start);
  const damping_N = new Float64Array(steps);
  let before_m = 0;
  for (let i = 1; i <= 2 * steps; i++) {
    const position_m = half_m * (1 - Math.cos((2 * Math.PI * i) / steps));
    played.step(position_m, position_m - before_m, 1 / (frequency_Hz * steps));
    before_m = position_m;
    damping_N[i % steps] = played.damping_N;
  }
  return damping_N;
}
