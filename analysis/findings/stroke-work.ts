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
  const { time_s, velocity_m_per_s, force_N, stroke } = samples;
  const { strokes } = motion.strokes;
  const single: (number | null)[] = strokes.map(() => null);
  for (let from = 0; from < stroke.length; ) {
    const k = stroke[from];
    const gap_s = longestGap * (strokes[k].end_s - strokes[k].start_s);
    let to = from + 1;
    let whole = strokes[k].complete;
    for (; to < stroke.length && stroke[to] === k; to++)
      if (time_s[to] - time_s[to - 1] > gap_s) whole = false;
    if (whole && to - from >= leastSamples)
      single[k] = cycleWork(
        time_s.subarray(from, to),
        force_N.subarray(from, to),
        velocity_m_per_s.subarray(from, to),
      );
    from = to;
  }
  return single.slice(1).flatMap((work_J, k) => {
    const before_J = single[k];
    return work_J === null || before_J === null ? [] : [before_J + work_J];
  });
}
