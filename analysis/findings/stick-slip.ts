import type { Turn } from '../kinematics/reversals.js';
import { madToSd, median } from '../numerics/summary.js';
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

/** What a sample's speed says of it; `nothing` where it is not to be looked at. */
const pace = { nothing: 0, slow: 1, quicker: 2, sliding: 3 } as const;

/**
 * Sticking and slipping at low speed: what the fit leaves over jumps more at slow speed than while sliding, and down
 * in jumps though up in small steps, seen along the motion.
 */
export const stickSlip: Criterion = (evidence) => {
  const { samples } = evidence;
  const paces = pacesOf(evidence);
  let found: { excess: number; drop_N: number } | null = null;
  for (const span of spans) {
    const { slow, strokeOf, others } = stepsOver(span, samples, paces);
    if (slow.length < fewestSlow) continue;
    // What is left over while sliding may be the damping's; where nothing moves quicker, there is the noise of samples.
    const usual = others.length > 0 ? Math.min(...others) : samples.noise_N * Math.sqrt(2 * span);
    const excess = typicalOfStrokes(slow, strokeOf) / usual;
    const skewed = Math.min(leastSkew, (-certain / excess ** 2) * Math.sqrt((6 * span) / slow.length));
    if (excess < leastExcess || skewness(slow) > skewed) continue;
    if (!found || excess > found.excess) found = { excess, drop_N: typicalDrop(slow) };
  }
  return found && warning('stick-slip', { drop_N: found.drop_N });
};

/** Each sample's pace. */
function pacesOf(evidence: Evidence): Uint8Array {
  const { samples, motion, identification } = evidence;
  const { position_m, velocity_m_per_s, stroke } = samples;
  const isSlow = slowStretches(samples, motion.strokes.turns);
  const withDamping = strokesWithDamping(evidence);
  const { stopSide } = identification.problem.features;
  const { stop_m } = identification.fit.shape;
  const paces = new Uint8Array(stroke.length);
  for (let i = 0; i < paces.length; i++) {
    if (!withDamping[stroke[i]]) continue;
    if (stopSide !== null && stopSide * (position_m[i] - stop_m) > -nearStop_m) continue;
    const v = Math.abs(velocity_m_per_s[i]);
    if (isSlow[i]) paces[i] = pace.slow;
    else if (v > sliding_m_per_s) paces[i] = pace.sliding;
    else if (v > slow_m_per_s) paces[i] = pace.quicker;
  }
  return paces;
}

/**
 * Steps of the residual along the motion, each within one stroke and with no sample lost in between: slow ones with
 * the strokes they belong to, and the root mean squares of those of the other paces that have enough.
 */
function stepsOver(span: number, samples: FittedSamples, paces: Uint8Array) {
  const { time_s, velocity_m_per_s, residual_N, stroke, period_s } = samples;
  const longest_s = (span + 0.5) * period_s;
  const slow: number[] = [];
  const strokeOf: number[] = [];
  const squares = new Float64Array(4);
  const counts = new Float64Array(4);
  for (let i = 0; i + span < paces.length; i++) {
    const own = paces[i];
    if (own === pace.nothing) continue;
    if (stroke[i] !== stroke[i + span] || !(time_s[i + span] - time_s[i] < longest_s)) continue;
    const step_N = residual_N[i + span] - residual_N[i];
    squares[own] += step_N * step_N;
    counts[own]++;
    if (own !== pace.slow) continue;
    slow.push(Math.sign(velocity_m_per_s[i]) * step_N);
    strokeOf.push(stroke[i]);
  }
  const others = [pace.sliding, pace.quicker]
    .filter((other) => counts[other] >= fewestSteps)
    .map((other) => Math.sqrt(squares[other] / counts[other]));
  return { slow, strokeOf, others };
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
    const beside = value - mean;
    square += beside * beside;
    cube += beside * beside * beside;
  }
  return cube / n / (square / n) ** 1.5;
}

/** Median of the steps down that stand out of the others; the root mean square where none does. */
function typicalDrop(steps: readonly number[]): number {
  const usual = madToSd * median(Float64Array.from(steps, Math.abs));
  const drops = steps.filter((step) => step < -4 * usual);
  return drops.length > 0 ? -median(Float64Array.from(drops)) : rootMeanSquare(steps);
}
