import { medianPeriod } from '../identification/samples.js';
import type { Turn } from '../kinematics/reversals.js';
import { madToSd, median } from '../numerics/summary.js';
import type { Criterion, FittedSamples } from './evidence.js';
import { warning } from './finding.js';
import { strokesWithDamping } from './strokes-with-damping.js';

/** Below the first speed a shaft may stick, above the second it slides, m/s. */
const slow_m_per_s = 10e-3;
const sliding_m_per_s = 20e-3;
/** Travel after a reversal in which the seal is still sheared, m. */
const settled_m = 0.3e-3;
/** Slow travel in one piece, at least: sharp reversals are slow for a moment, too, and the fit is a little off there. */
const leastStretch_m = 0.5e-3;
/** Nearer than this to a stop that the fit found, its stiffness makes jumps of its own, m. */
const nearStop_m = 0.3e-3;
/** Steps of the residual are taken over 1, 2, 4 and 8 samples: a slip may be shorter or longer than one. */
const spans = [1, 2, 4, 8] as const;
const fewestSteps = 40;
const fewestSlow = 20;
/** Steps at slow speed over those at higher speed, root mean square; 1.2 in the largest of a hundred sound recordings. */
const leastExcess = 1.2;
/** Skewness of the steps at slow speed: a saw rises slowly and falls at once. */
const leastSkew = -0.3;
/** The same in standard errors of a normal sample's, times the square of the excess: large steps need less proof. */
const certain = 7;

/**
 * Sticking and slipping at low speed: what the fit leaves over jumps more at slow speed than while sliding, and down
 * in jumps though up in small steps, seen along the motion.
 */
export const stickSlip: Criterion = (evidence) => {
  const { samples, motion } = evidence;
  const period_s = medianPeriod(samples.time_s);
  const isSlow = slowStretches(samples, motion.strokes.turns);
  const withDamping = strokesWithDamping(evidence);
  const { stopSide } = evidence.identification.problem.features;
  const { stop_m } = evidence.identification.fit.shape;
  const touches = (i: number) =>
    stopSide !== null && stopSide * (samples.position_m[i] - stop_m) > -nearStop_m;
  let found: { excess: number; drop_N: number } | null = null;
  for (const span of spans) {
    const slow: number[] = [];
    const strokeOf: number[] = [];
    const sliding: number[] = [];
    const quicker: number[] = [];
    for (let i = 0; i + span < samples.time_s.length; i++) {
      if (!stepsTogether(samples, i, span, period_s) || !withDamping[samples.stroke[i]] || touches(i))
        continue;
      const v = samples.velocity_m_per_s[i];
      const step_N = Math.sign(v) * (samples.residual_N[i + span] - samples.residual_N[i]);
      if (isSlow[i]) {
        slow.push(step_N);
        strokeOf.push(samples.stroke[i]);
      } else if (Math.abs(v) > sliding_m_per_s) sliding.push(step_N);
      else if (Math.abs(v) > slow_m_per_s) quicker.push(step_N);
    }
    if (slow.length < fewestSlow) continue;
    // What is left over while sliding may be the damping's; where nothing moves quicker, there is the noise of samples.
    const compared = [sliding, quicker].filter((steps) => steps.length >= fewestSteps).map(rootMeanSquare);
    const usual = compared.length > 0 ? Math.min(...compared) : samples.noise_N * Math.sqrt(2 * span);
    const excess = typicalOfStrokes(slow, strokeOf) / usual;
    const skewed = Math.min(leastSkew, (-certain / excess ** 2) * Math.sqrt((6 * span) / slow.length));
    if (excess < leastExcess || skewness(slow) > skewed) continue;
    if (!found || excess > found.excess) found = { excess, drop_N: typicalDrop(slow) };
  }
  return found && warning('stick-slip', { drop_N: found.drop_N });
};

/** Whether a sample and the one `span` after it belong to one stroke, with none lost in between. */
function stepsTogether(
  { stroke, time_s }: FittedSamples,
  i: number,
  span: number,
  period_s: number,
): boolean {
  return stroke[i] === stroke[i + span] && time_s[i + span] - time_s[i] < (span + 0.5) * period_s;
}

/** 1 for samples in slow stretches long enough for sticking to show, the first of each stroke left out. */
function slowStretches(
  { position_m, velocity_m_per_s, stroke }: FittedSamples,
  turns: readonly Turn[],
): Uint8Array {
  const slow = new Uint8Array(stroke.length);
  const counts = (i: number) => {
    const v = Math.abs(velocity_m_per_s[i]);
    return v > 0 && v < slow_m_per_s && Math.abs(position_m[i] - turns[stroke[i]].position_m) > settled_m;
  };
  for (let from = 0; from < stroke.length; ) {
    let to = from;
    while (to < stroke.length && stroke[to] === stroke[from] && counts(to)) to++;
    if (to > from && Math.abs(position_m[to - 1] - position_m[from]) >= leastStretch_m)
      slow.fill(1, from, to);
    from = Math.max(to, from + 1);
  }
  return slow;
}

function rootMeanSquare(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return Math.sqrt(sum / values.length);
}

/** Root mean square of the steps in the typical stroke, which one odd event does not raise; strokes count by their steps. */
function typicalOfStrokes(steps: readonly number[], strokeOf: readonly number[]): number {
  const ofStep = new Float64Array(steps.length);
  for (let from = 0; from < steps.length; ) {
    let to = from + 1;
    while (to < steps.length && strokeOf[to] === strokeOf[from]) to++;
    ofStep.fill(rootMeanSquare(steps.slice(from, to)), from, to);
    from = to;
  }
  return median(ofStep);
}

function skewness(values: readonly number[]): number {
  const n = values.length;
  const mean = values.reduce((a, b) => a + b, 0) / n;
  let square = 0;
  let cube = 0;
  for (const value of values) {
    square += (value - mean) ** 2 / n;
    cube += (value - mean) ** 3 / n;
  }
  return cube / square ** 1.5;
}

/** Median of the steps down that stand out of the others; the root mean square where none does. */
function typicalDrop(steps: readonly number[]): number {
  const usual = madToSd * median(Float64Array.from(steps, Math.abs));
  const drops = steps.filter((step) => step < -4 * usual);
  return drops.length > 0 ? -median(Float64Array.from(drops)) : rootMeanSquare(steps);
}
