import { mean, median, quantile } from '../numerics/summary.js';
import type { ProcedureName } from '../result.js';
import type { Trace } from '../trace.js';
import { projectLinear } from './gram.js';
import type { RecordedMotion } from './prepare.js';

/** Speeds that differ by more than this share are different steps of a ladder. */
const stepRatio = 1.25;
/** Strokes slower than this at their peak are a sweep's or a hand's, not a crank's. */
const slow_m_per_s = 0.06;
/** Peak over mean speed is π/2 for a crank's stroke and near 1 for one at constant speed. */
const constantShape = 1.4;
/** Strokes at one speed of a sweep, at most, where rests between them hide its shape. */
const mostPerSpeed = 3;
/** Steps of a slow sweep, at least; fewer slow strokes are there to feel a spring or the ends. */
const fewestSweepSpeeds = 3;
/** Share of the force's variance that a parabola of the position leaves over where a spring makes the force. */
const springRest = 0.02;
/** Range of the force over the whole travel, over that without the outer twentieths, where an end is touched. */
const endRise = 2.5;
/** Strokes of a decay, at least, and what is left of the first. */
const fewestDecaying = 6;
const decayedTo = 0.35;
const warmUpStrokes = 16;
/** Samples on which force is looked at. */
const mostSamples = 4000;

/**
 * Recognises the procedure from motion and force. The motion tells cranks from sweeps and how many speeds there are;
 * the force tells a spring, which position alone explains, and an end that is touched.
 * Decaying strokes are nobody's procedure by name and come back as unknown; see `strokesDecay`.
 */
export function recogniseProcedure(motion: RecordedMotion, trace: Trace): ProcedureName {
  const whole = motion.strokes.strokes.filter((stroke) => stroke.complete);
  if (whole.length < 2) return 'unknown';
  if (strokesDecay(motion)) return 'unknown';
  const peaks = whole.map((stroke) => stroke.peakSpeed_m_per_s).sort((a, b) => a - b);
  const fastest = peaks[peaks.length - 1];
  const speeds = distinctSpeeds(peaks);
  if (fastest < slow_m_per_s) {
    if (speeds >= fewestSweepSpeeds)
      return whole.length <= mostPerSpeed * speeds || strokeShape(whole) < constantShape
        ? 'slow-sweep'
        : 'speed-ladder';
    const force = forceAgainstPosition(trace);
    if (isSpring(force)) return 'spring-pull';
    return touchesAnEnd(force) ? 'travel-sweep' : 'slow-sweep';
  }
  if (speeds >= 2) return isSpring(forceAgainstPosition(trace)) ? 'lag-check' : 'speed-ladder';
  return whole.length >= warmUpStrokes ? 'warm-up' : 'unknown';
}

/**
 * Whether each stroke is shorter than the one before, down to a third of the first or less: strokes that bring the
 * seal's state to zero, after which a constant offset can be told from a difference between the directions.
 */
export function strokesDecay({ strokes: { strokes } }: RecordedMotion): boolean {
  const lengths = strokes.filter(({ complete }) => complete).map(({ amplitude_m }) => amplitude_m);
  if (lengths.length < fewestDecaying || lengths[lengths.length - 1] > decayedTo * lengths[0]) return false;
  return lengths.slice(1).every((length, k) => length < 1.02 * lengths[k]);
}

function strokeShape(whole: RecordedMotion['strokes']['strokes']): number {
  return median(
    Float64Array.from(whole, (s) => (s.peakSpeed_m_per_s * (s.end_s - s.start_s)) / s.amplitude_m),
  );
}

function distinctSpeeds(ascending: readonly number[]): number {
  let distinct = 1;
  let last = ascending[0];
  for (const peak of ascending)
    if (peak > last * stepRatio) {
      distinct++;
      last = peak;
    }
  return distinct;
}

interface ForceAgainstPosition {
  /** Position from −1 to 1 over the travel. */
  readonly along: Float64Array;
  readonly force_N: Float64Array;
}

/** Thinned force samples with the position that was measured last before each. */
function forceAgainstPosition({ force, position }: Trace): ForceAgainstPosition {
  const position_s = position.time_s;
  const stride = Math.ceil(force.time_s.length / mostSamples);
  const n = Math.floor(force.time_s.length / stride);
  const at_m = new Float64Array(n);
  const force_N = new Float64Array(n);
  let p = 0;
  for (let k = 0; k < n; k++) {
    const t = force.time_s[k * stride];
    while (p + 1 < position_s.length && position_s[p + 1] <= t) p++;
    at_m[k] = position.position_m[p];
    force_N[k] = force.force_N[k * stride];
  }
  const low_m = quantile(at_m, 0.002);
  const high_m = quantile(at_m, 0.998);
  return { along: at_m.map((x) => (2 * (x - low_m)) / (high_m - low_m) - 1), force_N };
}

function isSpring({ along, force_N }: ForceAgainstPosition): boolean {
  const used = force_N.length;
  const middle_N = mean(force_N);
  const products = new Float64Array(16);
  const row = new Float64Array(4);
  for (let k = 0; k < used; k++) {
    const z = along[k];
    row[0] = 1;
    row[1] = z;
    row[2] = z * z;
    row[3] = force_N[k] - middle_N;
    for (let a = 0; a < 4; a++) for (let b = 0; b < 4; b++) products[4 * a + b] += row[a] * row[b];
  }
  const parabola = projectLinear({ size: 4, products, used }, 3);
  return parabola !== null && parabola.rss / (used - 3) < (springRest * products[15]) / used;
}

function touchesAnEnd({ along, force_N }: ForceAgainstPosition): boolean {
  const inner = force_N.filter((_, k) => Math.abs(along[k]) < 0.9);
  if (inner.length < 10) return false;
  const range = (values: Float64Array) => quantile(values, 0.999) - quantile(values, 0.001);
  return range(force_N) > endRise * range(inner);
}
