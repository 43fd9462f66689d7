import { median } from '../numerics/summary.js';
import type { ProcedureName } from '../result.js';
import type { RecordedMotion } from './prepare.js';

/** Speeds that differ by more than this share are different steps of a ladder. */
const stepRatio = 1.25;
/** Strokes slower than this at their peak are a sweep's, not a crank's. */
const sweepSpeed_m_per_s = 0.06;

/**
 * Recognises the procedure from the motion alone.
 * A crank's stroke is far slower at its ends than at its peak, a sweep runs at one speed: peak over mean speed is
 * π/2 for a sinusoid and near 1 for a sweep.
 */
export function recogniseProcedure(motion: RecordedMotion): ProcedureName {
  const whole = motion.strokes.strokes.filter((stroke) => stroke.complete);
  if (whole.length < 2) return 'unknown';
  const peaks = whole.map((stroke) => stroke.peakSpeed_m_per_s);
  const shape = median(
    Float64Array.from(whole, (s) => (s.peakSpeed_m_per_s * (s.end_s - s.start_s)) / s.amplitude_m),
  );
  const fastest = peaks.reduce((most, peak) => Math.max(most, peak), 0);
  if (fastest < sweepSpeed_m_per_s && shape < 1.4) return 'slow-sweep';
  if (distinctSpeeds(peaks) >= 2) return 'speed-ladder';
  if (fastest < sweepSpeed_m_per_s) return 'slow-sweep';
  return whole.length >= 16 ? 'warm-up' : 'unknown';
}

function distinctSpeeds(peaks: readonly number[]): number {
  const sorted = [...peaks].sort((a, b) => a - b);
  let distinct = 1;
  let last = sorted[0];
  for (const peak of sorted)
    if (peak > last * stepRatio) {
      distinct++;
      last = peak;
    }
  return distinct;
}
