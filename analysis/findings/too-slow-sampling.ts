import { medianPeriod } from '../identification/samples.js';
import type { Criterion } from './evidence.js';
import { warning } from './finding.js';

/** Samples in the fastest cycle below which its turns are not seen. */
const fewestPerCycle = 16;
/** Shorter strokes than this share of the longest are not the crank's. */
const leastStroke = 0.5;

/** Force or position sampled too slowly for the fastest cycle. */
export const tooSlowSampling: Criterion = ({ trace, motion }) => {
  const { cycles } = motion.strokes;
  const longest_m = cycles.reduce((longest, { stroke_m }) => Math.max(longest, stroke_m), 0);
  let fastest_s = Number.POSITIVE_INFINITY;
  for (const { stroke_m, period_s } of cycles)
    if (stroke_m > leastStroke * longest_m) fastest_s = Math.min(fastest_s, period_s);
  const slower_s = Math.max(medianPeriod(trace.force.time_s), medianPeriod(trace.position.time_s));
  const samplesPerCycle = fastest_s / slower_s;
  return samplesPerCycle < fewestPerCycle
    ? warning('too-slow-sampling', { samplesPerCycle, wanted: fewestPerCycle })
    : null;
};
