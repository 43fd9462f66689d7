import type { Shape } from './problem.js';

/** (L/s)ⁿ beyond which damping has not begun to come back. */
const most = 1e12;

/**
 * How damping comes back after a reversal, w = 1/(1 + (L/s)ⁿ).
 * @param out n values
 * @param travel_m travel s since the last reversal at n points, m
 * @param shape half-rise L and steepness n
 */
export function deadStrokeInto(
  out: Float64Array,
  travel_m: Float64Array,
  n: number,
  { deadStroke_m, airPower }: Shape,
): void {
  for (let k = 0; k < n; k++) out[k] = 1 / (1 + (deadStroke_m / travel_m[k]) ** airPower);
}

/** Its derivative by ln L or ln n. */
export function deadStrokeSlopeInto(
  out: Float64Array,
  travel_m: Float64Array,
  n: number,
  { deadStroke_m, airPower }: Shape,
  by: 'deadStroke' | 'airPower',
): void {
  for (let k = 0; k < n; k++) {
    const ratio = (deadStroke_m / travel_m[k]) ** airPower;
    const factor = by === 'deadStroke' ? airPower : Math.log(ratio);
    out[k] = ratio > 0 && ratio < most ? (-factor * ratio) / (1 + ratio) ** 2 : 0;
  }
}
