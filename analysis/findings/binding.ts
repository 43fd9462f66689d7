import type { Stroke } from '../kinematics/strokes.js';
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
      const up = spreadOf(profiles.up.map((profile) => contrast(profile, bin, reach)));
      const down = spreadOf(profiles.down.map((profile) => contrast(profile, bin, reach)));
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

/** What the fit leaves over against position, of each slow whole stroke. */
function slowProfiles(evidence: Evidence): { up: Float64Array[]; down: Float64Array[] } {
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

/** Mean of what the fit leaves over in each bin of one stroke, signed along the motion; NaN where not sampled. */
function profileOf({ samples, motion }: Evidence, k: number): Float64Array {
  const { position_m, residual_N, firstOf } = samples;
  const sign = motion.strokes.strokes[k].direction === 'compression' ? 1 : -1;
  const perMetre = bins / (motion.high_m - motion.low_m);
  const sums = new Float64Array(bins);
  const counts = new Float64Array(bins);
  for (let i = firstOf[k]; i < firstOf[k + 1]; i++) {
    const bin = Math.floor((position_m[i] - motion.low_m) * perMetre);
    if (bin < 0 || bin >= bins) continue;
    sums[bin] += sign * residual_N[i];
    counts[bin]++;
  }
  for (let bin = 0; bin < bins; bin++) sums[bin] /= counts[bin];
  return sums;
}

/** Mean within `reach` bins of a bin, less the mean of the bins on either side; NaN where either was not sampled. */
function contrast(profile: Float64Array, bin: number, reach: number): number {
  let inside = 0;
  let insideCount = 0;
  let beside = 0;
  let besideCount = 0;
  const far = 4 * reach + 5;
  for (let b = Math.max(ends, bin - far); b < Math.min(bins - ends, bin + far + 1); b++) {
    const value = profile[b];
    const distance = Math.abs(b - bin);
    if (Number.isNaN(value)) continue;
    if (distance <= reach) {
      inside += value;
      insideCount++;
    } else if (distance > 2 * reach + 2) {
      beside += value;
      besideCount++;
    }
  }
  return inside / insideCount - beside / besideCount;
}

function spreadOf(all: readonly number[]): { mean: number; error: number } {
  const values = all.filter((value) => !Number.isNaN(value));
  const n = values.length;
  if (n < fewestStrokes) return { mean: Number.NaN, error: Number.NaN };
  const mean = values.reduce((a, b) => a + b, 0) / n;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, error: Math.sqrt(squares / (n - 1) / n) };
}
