import type { RecordedMotion } from '../identification/prepare.js';
import { cycleWork } from '../kinematics/cycle-work.js';
import type { FittedSamples } from './evidence.js';

/** Work over two consecutive whole strokes, one each way. */
export interface PairWork {
  readonly peakSpeed_m_per_s: number;
  /** ∫ F·v dt of the measured force, J. */
  readonly work_J: number;
  /** The same of what the fit leaves over: measured less fitted work. */
  readonly unexplained_J: number;
}

/** A stroke needs this many samples for its work, and no gap longer than a tenth of it. */
const leastSamples = 8;
const longestGap = 0.1;

/**
 * Measured and unexplained work, stroke pair by stroke pair; strokes with gaps are left out. Both are integrated
 * along the measured motion, so gas and moving mass fall out over a pair and nothing is assumed of its shape.
 */
export function strokeWork(samples: FittedSamples, motion: RecordedMotion): PairWork[] {
  const { time_s, velocity_m_per_s, force_N, residual_N, stroke } = samples;
  const { strokes } = motion.strokes;
  const single: ({ work_J: number; unexplained_J: number } | null)[] = strokes.map(() => null);
  for (let from = 0; from < stroke.length; ) {
    const k = stroke[from];
    const gap_s = longestGap * (strokes[k].end_s - strokes[k].start_s);
    let to = from + 1;
    let whole = strokes[k].complete;
    for (; to < stroke.length && stroke[to] === k; to++)
      if (time_s[to] - time_s[to - 1] > gap_s) whole = false;
    if (whole && to - from >= leastSamples) {
      const t = time_s.subarray(from, to);
      const v = velocity_m_per_s.subarray(from, to);
      single[k] = {
        work_J: cycleWork(t, force_N.subarray(from, to), v),
        unexplained_J: cycleWork(t, residual_N.subarray(from, to), v),
      };
    }
    from = to;
  }
  const pairs: PairWork[] = [];
  for (let k = 0; k + 1 < strokes.length; k++) {
    const [a, b] = [single[k], single[k + 1]];
    if (!a || !b) continue;
    pairs.push({
      peakSpeed_m_per_s: Math.max(strokes[k].peakSpeed_m_per_s, strokes[k + 1].peakSpeed_m_per_s),
      work_J: a.work_J + b.work_J,
      unexplained_J: a.unexplained_J + b.unexplained_J,
    });
  }
  return pairs;
}
