/**
 * Position, velocity and acceleration from sampled positions, by local polynomials on the true sample times.
 *
 * On evenly spaced times the fit is the Savitzky-Golay filter, edges included; on jittered times it
 * stays exact for polynomials, where the filter with the mean spacing is not.
 * Sources: Savitzky & Golay, Anal. Chem. 36 (1964) 1627; Steinier, Termonia & Deltour, Anal. Chem. 44 (1972) 1906.
 */
import { type LocalDegree, makeLocalFit } from './local-fit.js';

export interface LocalPolynomialOptions {
  /** Degree of the polynomial; 3 where nothing speaks against it. */
  readonly degree: LocalDegree;
  /** Half the window's length: one number, or one per instant asked for. */
  readonly halfWindow_s: number | Float64Array;
}

export interface LocalMotion {
  readonly time_s: Float64Array;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
  /** Variance of the velocity per variance of a position sample (independent noise), in 1/s². */
  readonly velocityGain_per_s2: Float64Array;
}

/**
 * Motion at any instants, such as the force channel's sample times.
 * @param time_s n strictly increasing times and `position_m` their positions
 * @param options degree and half-window (m values where it varies)
 * @param at_s m instants, best in increasing order; beyond the first or last sample the nearest window is
 *   extrapolated and the velocity's gain grows accordingly
 * @returns m values of each; all NaN where n <= degree
 * Numerical notes: within a half-window of either end the window is shifted, not cut, so that edges are fitted
 *   one-sided from as many samples as elsewhere. A window with too few samples for its degree (a gap) takes in
 *   the nearest ones; the velocity's gain then shows the price. Exact on polynomials of the degree, to about
 *   1e-12 of the window's range; time is proportional to m times the window's sample count, memory to m.
 */
export function motionAt(
  time_s: Float64Array,
  position_m: Float64Array,
  { degree, halfWindow_s }: LocalPolynomialOptions,
  at_s: Float64Array,
): LocalMotion {
  if (position_m.length !== time_s.length)
    throw new RangeError(`${time_s.length} times for ${position_m.length} positions`);
  if (typeof halfWindow_s !== 'number' && halfWindow_s.length !== at_s.length)
    throw new RangeError(`${halfWindow_s.length} half-windows for ${at_s.length} instants`);
  const n = time_s.length;
  const motion: LocalMotion = {
    time_s: at_s,
    position_m: new Float64Array(at_s.length).fill(Number.NaN),
    velocity_m_per_s: new Float64Array(at_s.length).fill(Number.NaN),
    acceleration_m_per_s2: new Float64Array(at_s.length).fill(Number.NaN),
    velocityGain_per_s2: new Float64Array(at_s.length).fill(Number.NaN),
  };
  if (n <= degree) return motion;
  const fitWindow = makeLocalFit(time_s, position_m, degree);
  const first = time_s[0];
  const last = time_s[n - 1];
  let from = 0;
  let to = 0;
  for (let i = 0; i < at_s.length; i++) {
    const at = at_s[i];
    const half = typeof halfWindow_s === 'number' ? halfWindow_s : halfWindow_s[i];
    // A millionth of slack: a sample meant to lie exactly on the window's end must not fall to rounding.
    const slack = 1e-6 * half;
    const low = (at + half > last ? last - 2 * half : at - half) - slack;
    const high = (at - half < first ? first + 2 * half : at + half) + slack;
    while (from > 0 && time_s[from - 1] >= low) from--;
    while (from < n && time_s[from] < low) from++;
    while (to < n && time_s[to] <= high) to++;
    while (to > 0 && time_s[to - 1] > high) to--;
    let start = Math.min(from, to);
    let end = Math.max(from, to);
    while (end - start <= degree) {
      if (end === n || (start > 0 && at - time_s[start - 1] < time_s[end] - at)) start--;
      else end++;
    }
    const fit = fitWindow(start, end, at);
    motion.position_m[i] = fit.value;
    motion.velocity_m_per_s[i] = fit.slope;
    motion.acceleration_m_per_s2[i] = fit.curvature;
    motion.velocityGain_per_s2[i] = fit.slopeGain;
  }
  return motion;
}
