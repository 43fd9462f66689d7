import { findTurns } from '../kinematics/reversals.js';
import type { Trace } from '../trace.js';

/** A stretch of a slow pull in which the position moves one way. */
export interface Branch {
  /** First sample, and one past the last. */
  readonly from: number;
  readonly to: number;
  /** 1 into compression, −1 out of it. */
  readonly direction: 1 | -1;
}

/** Shorter strokes than this share of the whole travel tell nothing about it. */
const leastShare = 0.4;

/**
 * Cuts a pull into its strokes.
 * @param position_m n positions in the order they were sampled
 * @returns strokes that cover enough of the travel, in order
 */
export function pullBranches(position_m: Float64Array): Branch[] {
  const order = position_m.map((_, i) => i);
  const { turns } = findTurns(order, position_m);
  const low = position_m.reduce((a, b) => Math.min(a, b));
  const high = position_m.reduce((a, b) => Math.max(a, b));
  const branches: Branch[] = [];
  for (let k = 1; k < turns.length; k++) {
    const moved = turns[k].position_m - turns[k - 1].position_m;
    if (Math.abs(moved) < leastShare * (high - low)) continue;
    branches.push({ from: turns[k - 1].index, to: turns[k].index + 1, direction: moved > 0 ? 1 : -1 });
  }
  return branches;
}

/** Positions of a recording at the instants of its force samples, which lie within its position samples. */
export function pairedSamples(trace: Trace): { position_m: Float64Array; force_N: Float64Array } {
  const { time_s, position_m } = trace.position;
  const positions: number[] = [];
  const forces: number[] = [];
  let k = 0;
  trace.force.time_s.forEach((t, i) => {
    while (k < time_s.length - 2 && time_s[k + 1] < t) k++;
    if (t < time_s[0] || t > time_s[time_s.length - 1] || time_s.length < 2) return;
    const share = (t - time_s[k]) / (time_s[k + 1] - time_s[k]);
    positions.push(position_m[k] + share * (position_m[k + 1] - position_m[k]));
    forces.push(trace.force.force_N[i]);
  });
  return { position_m: Float64Array.from(positions), force_N: Float64Array.from(forces) };
}
