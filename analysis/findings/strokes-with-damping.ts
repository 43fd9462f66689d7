import type { Evidence } from './evidence.js';

/** Peak over mean speed up to which a stroke ran at one speed; 1.4 on a crank. */
const constantSpeed = 1.2;
/** Share of the peak speed above which it moves. */
const moving = 0.2;

/**
 * Whether what the fit leaves over in a stroke is free of damping, stroke by stroke: where damping is fitted, and at
 * constant speed, where damping is one more constant force. A crank is fastest in mid-stroke, and there damping that
 * could not be told from drag looks like more drag.
 */
export function strokesWithDamping({ samples, motion, identification }: Evidence): boolean[] {
  const { strokes } = motion.strokes;
  if (identification.problem.terms.includes('linearCompression')) return strokes.map(() => true);
  const sums = new Float64Array(strokes.length);
  const counts = new Float64Array(strokes.length);
  samples.stroke.forEach((k, i) => {
    const speed = Math.abs(samples.velocity_m_per_s[i]);
    if (speed < moving * strokes[k].peakSpeed_m_per_s) return;
    sums[k] += speed;
    counts[k]++;
  });
  return strokes.map(({ peakSpeed_m_per_s }, k) => peakSpeed_m_per_s * counts[k] < constantSpeed * sums[k]);
}
