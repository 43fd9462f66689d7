import type { RecordedMotion } from '../identification/prepare.js';
import { cycleWork } from '../kinematics/cycle-work.js';
import type { FittedSamples } from './evidence.js';

/** A stroke needs this many samples for its work, and no gap longer than a tenth of it. */
const leastSamples = 8;
export const longestGap = 0.1;

/**
 * Measured work of each two consecutive whole strokes, one each way, J; strokes with gaps are left out. It is
 * integrated along the measured motion, so gas and moving mass fall out and nothing is assumed of its shape.
 */
export function pairWork(samples: FittedSamples, motion: RecordedMotion): number[] {
  const { time_s, velocity_m_per_s, force_N, firstOf } = samples;
  const single = motion.strokes.strokes.map(({ complete, start_s, end_s }, k): number | null => {
    const [from, to] = [firstOf[k], firstOf[k + 1]];
    if (!complete || to - from < leastSamples) return null;
    const gap_s = longestGap * (end_s - start_s);
    for (let i = from + 1; i < to; i++) if (time_s[i] - time_s[i - 1] > gap_s) return null;
    return cycleWork(
      time_s.subarray(from, to),
      force_N.subarray(from, to),
      velocity_m_per_s.subarray(from, to),
    );
  });
  return single.slice(1).flatMap((work_J, k) => {
    const before_J = single[k];
    return work_J === null || before_J === null ? [] : [before_J + work_J];
  });
}
