import { medianPeriod } from '../identification/samples.js';
import type { Criterion, Evidence } from './evidence.js';
import { warning } from './finding.js';

/** Cycles in a row that must meet the sampling at the same place. */
const inStep = 8;
/** Mean vector of their places within a sampling period, 1 for exactly the same: a drift of a seventh in all is enough. */
const leastAlike = 0.98;
/** More places than this in a cycle are close enough to each other to see every part of it. */
const mostPlaces = 100;
/** Share of the recording's cycles. */
const leastShare = 0.25;

/**
 * The crank turns in step with the sampling: cycle after cycle is sampled at the same places, or at twice as
 * many, so that more cycles show no more of the stroke. The places are those of the upward passages through
 * mid-stroke, where position tells time best.
 */
export const crankLocked: Criterion = (evidence) => {
  const period_s = medianPeriod(evidence.trace.force.time_s);
  const passed_s = midPassages(evidence);
  let locked = 0;
  let places = 0;
  for (let k = 0; k + inStep <= passed_s.length; k++) {
    const cycle_s = (passed_s[k + inStep - 1] - passed_s[k]) / (inStep - 1);
    for (const several of [1, 2]) {
      if ((several * cycle_s) / period_s > mostPlaces) break;
      if (alike(passed_s, k, several / period_s) < leastAlike) continue;
      locked++;
      places = (several * cycle_s) / period_s;
      break;
    }
  }
  const windows = passed_s.length - inStep + 1;
  return locked > 0 && locked >= leastShare * windows
    ? warning('crank-locked-to-sampling', { samplesPerCycle: Math.round(places) })
    : null;
};

/** Instants at which the position passes mid-stroke upwards, one a cycle. */
function midPassages({ trace, motion }: Evidence): number[] {
  const { time_s, position_m } = trace.position;
  const middle_m = 0.5 * (motion.low_m + motion.high_m);
  const found: number[] = [];
  for (const { compression } of motion.strokes.cycles)
    for (let i = compression.start + 1; i < compression.end; i++) {
      if (position_m[i - 1] >= middle_m || position_m[i] < middle_m) continue;
      const share = (middle_m - position_m[i - 1]) / (position_m[i] - position_m[i - 1]);
      found.push(time_s[i - 1] + share * (time_s[i] - time_s[i - 1]));
      break;
    }
  return found;
}

/** Length of the mean vector of the phases of `inStep` instants from the k-th on, at a frequency in Hz. */
function alike(time_s: readonly number[], k: number, frequency_Hz: number): number {
  let cosine = 0;
  let sine = 0;
  for (let j = k; j < k + inStep; j++) {
    const angle = 2 * Math.PI * frequency_Hz * (time_s[j] - time_s[k]);
    cosine += Math.cos(angle);
    sine += Math.sin(angle);
  }
  return Math.hypot(cosine, sine) / inStep;
}
