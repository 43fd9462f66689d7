import type { Stroke } from '../kinematics/strokes.js';
import { mean, standardDeviation } from '../numerics/summary.js';
import type { Criterion, Evidence } from './evidence.js';
import { warning } from './finding.js';
import { strokesWithDamping } from './strokes-with-damping.js';

const bins = 32;
/** Bins at either end that are left out: there the seal is sheared anew and speed changes. */
const ends = 3;
/** Widths of a bump in bins, the stretch that counts as its middle to each side. */
const reaches = [0, 1, 2] as const;
/** Bump over mean drag, over its standard error between strokes, and over what the fit leaves over as a whole. */
const leastShare = 0.07;
const certain = 6;
const leastOfResidual = 0.8;
const fewestStrokes = 2;

/**
 * Binding: more drag near one position, the same in every slow stroke and in both directions. Gas, a spring and an
 * uneven mount act on both directions alike and cancel; what remains is compared with the stretches on either side.
 */
export const binding: Criterion = (evidence) => {
  const { motion, analysis } = evidence;
  const drag_N = Math.abs(analysis.friction.mean_N?.value ?? 0);
  if (drag_N === 0) return null;
  const profiles = slowProfiles(evidence);
  if (profiles.up.length < fewestStrokes || profiles.down.length < fewestStrokes) return null;
  let found: { force_N: number; bin: number } | null = null;
  for (const reach of reaches)
    for (let bin = ends + reach + 1; bin < bins - ends - reach - 1; bin++) {
      const up = spreadOf(profiles.up, bin, reach);
      const down = spreadOf(profiles.down, bin, reach);
      const force_N = Math.min(up.mean, down.mean);
      const error_N = 0.5 * Math.hypot(up.error, down.error);
      if (!(force_N > Math.max(leastShare * drag_N, leastOfResidual * analysis.residual_N))) continue;
      if (0.5 * (up.mean + down.mean) < certain * error_N) continue;
      if (!found || force_N > found.force_N) found = { force_N, bin };
    }
  if (!found) return null;
  const position_m = motion.low_m + ((found.bin + 0.5) / bins) * (motion.high_m - motion.low_m);
  return warning('binding', {
    position_mm: 1e3 * position_m,
    force_N: found.force_N,
    share_percent: (100 * found.force_N) / drag_N,
  });
};

/**
 * What the fit leaves over against position, signed along the motion, in one stroke: the means of the bins that were
 * sampled and how many there are, both summed up to each bin; 0 at either end.
 */
interface Profile {
  readonly sums: Float64Array;
  readonly counts: Float64Array;
}

/** The profile of each slow whole stroke. */
function slowProfiles(evidence: Evidence): { up: Profile[]; down: Profile[] } {
  const { motion } = evidence;
  const withDamping = strokesWithDamping(evidence);
  const whole = motion.strokes.strokes
    .map((stroke, k) => ({ ...stroke, k }))
    .filter(({ complete, amplitude_m }) => complete && amplitude_m > 0.7 * (motion.high_m - motion.low_m))
    .filter(({ k }) => withDamping[k])
    .sort((a, b) => a.peakSpeed_m_per_s - b.peakSpeed_m_per_s);
  const slow = whole.slice(0, Math.max(2 * fewestStrokes, Math.ceil(0.4 * whole.length)));
  const profilesOf = (wanted: Stroke['direction']) =>
    slow.filter(({ direction }) => direction === wanted).map(({ k }) => profileOf(evidence, k));
  return { up: profilesOf('compression'), down: profilesOf('rebound') };
}

function profileOf({ samples, motion }: Evidence, k: number): Profile {
  const { position_m, residual_N, firstOf } = samples;
  const sign = motion.strokes.strokes[k].direction === 'compression' ? 1 : -1;
  const perMetre = bins / (motion.high_m - motion.low_m);
  const sums = new Float64Array(bins + 1);
  const counts = new Float64Array(bins + 1);
  for (let i = firstOf[k]; i < firstOf[k + 1]; i++) {
    const bin = Math.floor((position_m[i] - motion.low_m) * perMetre);
    if (bin < ends || bin >= bins - ends) continue;
    sums[bin + 1] += sign * residual_N[i];
    counts[bin + 1]++;
  }
  for (let bin = 0; bin < bins; bin++) {
    const sampled = counts[bin + 1] > 0;
    sums[bin + 1] = sums[bin] + (sampled ? sums[bin + 1] / counts[bin + 1] : 0);
    counts[bin + 1] = counts[bin] + (sampled ? 1 : 0);
  }
  return { sums, counts };
}

/** Mean within `reach` bins of a bin, less the mean of the bins on either side; NaN where either was not sampled. */
function contrast({ sums, counts }: Profile, bin: number, reach: number): number {
  const within = (of: Float64Array, distance: number) =>
    of[Math.min(bins, bin + distance + 1)] - of[Math.max(0, bin - distance)];
  const near = 2 * reach + 2;
  const far = 4 * reach + 5;
  const inside = within(sums, reach) / within(counts, reach);
  const beside = within(sums, far) - within(sums, near);
  return inside - beside / (within(counts, far) - within(counts, near));
}

/** Mean and standard error of the strokes' contrasts. */
function spreadOf(profiles: readonly Profile[], bin: number, reach: number): { mean: number; error: number } {
  let n = 0;
  const values = new Float64Array(profiles.length);
  for (const profile of profiles) {
    const value = contrast(profile, bin, reach);
    if (!Number.isNaN(value)) values[n++] = value;
  }
  if (n < fewestStrokes) return { mean: Number.NaN, error: Number.NaN };
  const contrasts = values.subarray(0, n);
  return { mean: mean(contrasts), error: standardDeviation(contrasts) / Math.sqrt(n) };
}
