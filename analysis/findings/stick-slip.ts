import type { Turn } from '../kinematics/reversals.js';
import { madToSd, mean, median } from '../numerics/summary.js';
import type { Criterion, Evidence, FittedSamples } from './evidence.js';
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
  const { samples } = evidence;
  const paces = samplesByPace(evidence);
  let found: { excess: number; drop_N: number } | null = null;
  for (const span of spans) {
    const slow = stepsFrom(paces.slow, span, samples);
    if (slow.steps_N.length < fewestSlow) continue;
    const skew = skewness(slow.steps_N);
    if (skew > leastSkew) continue;
    // What is left over while sliding may be the damping's; where nothing moves quicker, there is the noise of samples.
    const others = [paces.sliding, paces.quicker]
      .map((quicker) => stepsFrom(quicker, span, samples).steps_N)
      .filter((steps_N) => steps_N.length >= fewestSteps)
      .map(rootMeanSquare);
    const usual = others.length > 0 ? Math.min(...others) : samples.noise_N * Math.sqrt(2 * span);
    const excess = typicalOfStrokes(slow) / usual;
    const skewed = (-certain / excess ** 2) * Math.sqrt((6 * span) / slow.steps_N.length);
    if (excess < leastExcess || skew > skewed) continue;
    if (!found || excess > found.excess) found = { excess, drop_N: typicalDrop(slow.steps_N) };
  }
  return found && warning('stick-slip', { drop_N: found.drop_N });
};

/** Numbers of the samples at each pace, ascending; those near a stop and in strokes whose damping is not known left out. */
function samplesByPace(evidence: Evidence) {
  const { samples, motion, identification } = evidence;
  const { position_m, velocity_m_per_s, stroke } = samples;
  const isSlow = slowStretches(samples, motion.strokes.turns);
  const withDamping = strokesWithDamping(evidence);
  const { stopSide } = identification.problem.features;
  const { stop_m } = identification.fit.shape;
  const [slow, quicker, sliding] = [0, 1, 2].map(() => new Int32Array(stroke.length));
  let [slowCount, quickerCount, slidingCount] = [0, 0, 0];
  for (let i = 0; i < stroke.length; i++) {
    if (!withDamping[stroke[i]]) continue;
    if (stopSide !== null && stopSide * (position_m[i] - stop_m) > -nearStop_m) continue;
    const v = Math.abs(velocity_m_per_s[i]);
    if (isSlow[i]) slow[slowCount++] = i;
    else if (v > sliding_m_per_s) sliding[slidingCount++] = i;
    else if (v > slow_m_per_s) quicker[quickerCount++] = i;
  }
  return {
    slow: slow.subarray(0, slowCount),
    quicker: quicker.subarray(0, quickerCount),
    sliding: sliding.subarray(0, slidingCount),
  };
}

/** Steps of the residual, and the stroke that each belongs to. */
interface Steps {
  readonly steps_N: Float64Array;
  readonly strokeOf: Int32Array;
}

/** Steps along the motion from these samples on, each within one stroke and with no sample lost in between. */
function stepsFrom(numbers: Int32Array, span: number, samples: FittedSamples): Steps {
  const { time_s, velocity_m_per_s, residual_N, stroke, period_s } = samples;
  const longest_s = (span + 0.5) * period_s;
  const steps_N = new Float64Array(numbers.length);
  const strokeOf = new Int32Array(numbers.length);
  let n = 0;
  for (let k = 0; k < numbers.length; k++) {
    const from = numbers[k];
    const to = from + span;
    if (to >= stroke.length || stroke[from] !== stroke[to]) continue;
    if (!(time_s[to] - time_s[from] < longest_s)) continue;
    steps_N[n] = Math.sign(velocity_m_per_s[from]) * (residual_N[to] - residual_N[from]);
    strokeOf[n++] = stroke[from];
  }
  return { steps_N: steps_N.subarray(0, n), strokeOf: strokeOf.subarray(0, n) };
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

function rootMeanSquare(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return Math.sqrt(sum / values.length);
}

/** Root mean square of the steps in the typical stroke, which one odd event does not raise; strokes count by their steps. */
function typicalOfStrokes({ steps_N, strokeOf }: Steps): number {
  const ofStep = new Float64Array(steps_N.length);
  for (let from = 0; from < steps_N.length; ) {
    let to = from + 1;
    while (to < steps_N.length && strokeOf[to] === strokeOf[from]) to++;
    ofStep.fill(rootMeanSquare(steps_N.subarray(from, to)), from, to);
    from = to;
  }
  return median(ofStep);
}

function skewness(values: Float64Array): number {
  const middle = mean(values);
  let square = 0;
  let cube = 0;
  for (const value of values) {
    const beside = value - middle;
    square += beside * beside;
    cube += beside * beside * beside;
  }
  return cube / values.length / (square / values.length) ** 1.5;
}

/** Median of the steps down that stand out of the others; the root mean square where none does. */
function typicalDrop(steps_N: Float64Array): number {
  const usual = madToSd * median(steps_N.map(Math.abs));
  const drops = steps_N.filter((step) => step < -4 * usual);
  return drops.length > 0 ? -median(drops) : rootMeanSquare(steps_N);
}
