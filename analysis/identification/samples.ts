import type { Trace } from '../trace.js';
import type { RecordedMotion } from './prepare.js';

export interface UsableSamples {
  /** 1 per force sample that may be used. */
  readonly counts: Uint8Array;
  readonly saturated: number;
}

/** Longest run of one extreme value that still counts as chance. */
const longestRun = 4;

/**
 * Leaves out samples at the converter's limits, declared or seen as a run of equal extreme values: they say only
 * that the force was at least that large.
 */
export function usableSamples(trace: Trace): UsableSamples {
  const { force_N } = trace.force;
  const counts = new Uint8Array(force_N.length).fill(1);
  const low = trace.rig.forceLow_N ?? runOfExtreme(force_N, -1);
  const high = trace.rig.forceHigh_N ?? runOfExtreme(force_N, 1);
  let saturated = 0;
  for (let i = 0; i < force_N.length; i++)
    if ((low !== null && force_N[i] <= low) || (high !== null && force_N[i] >= high)) {
      counts[i] = 0;
      saturated++;
    }
  return { counts, saturated };
}

/** The largest (sign 1) or smallest (−1) value, if it stands in a run too long for chance while force varies. */
function runOfExtreme(force_N: Float64Array, sign: 1 | -1): number | null {
  let extreme = Number.NEGATIVE_INFINITY;
  for (const value of force_N) extreme = Math.max(extreme, sign * value);
  let runs = 0;
  let run = 0;
  for (const value of force_N) {
    run = sign * value === extreme ? run + 1 : 0;
    if (run === longestRun + 1) runs++;
  }
  return runs >= 2 ? sign * extreme : null;
}

/** Fewest clusters that support a covariance of some twenty parameters. */
const leastClusters = 24;

/**
 * Clusters of samples whose errors may belong together: whole cycles; where a recording has few, because each
 * stroke has its own speed, equal parts of strokes.
 * @returns cluster number per force sample
 */
export function clustersOf(time_s: Float64Array, motion: RecordedMotion): Int32Array {
  const { strokes } = motion.strokes;
  const cycles = strokes.length / 2;
  const parts = cycles >= leastClusters ? 0.5 : Math.min(6, Math.ceil((2 * leastClusters) / strokes.length));
  const clusterOf = new Int32Array(time_s.length);
  let i = 0;
  for (let k = 0; k < time_s.length; k++) {
    while (i < strokes.length - 1 && strokes[i].end_s < time_s[k]) i++;
    const { start_s, end_s } = strokes[i];
    const share = Math.max(0, Math.min(0.999, (time_s[k] - start_s) / (end_s - start_s)));
    clusterOf[k] = Math.floor((i + share) * parts);
  }
  return clusterOf;
}
