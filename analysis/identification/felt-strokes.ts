import type { RecordedMotion } from './prepare.js';

/**
 * The motion as far as the force tells of it: strokes during which no force sample counts are none of the fit's, so they
 * are neither complete nor part of a cycle, and say nothing of the speeds that were measured.
 * @param time_s force samples' times, and `counts` 1 for each that may be used
 */
export function asFelt(motion: RecordedMotion, time_s: Float64Array, counts: Uint8Array): RecordedMotion {
  const { strokes } = motion.strokes;
  const felt = new Uint8Array(strokes.length);
  for (let i = 0, k = 0; i < time_s.length; i++) {
    if (!counts[i]) continue;
    while (k < strokes.length - 1 && strokes[k].end_s < time_s[i]) k++;
    felt[k] = 1;
  }
  const known = new Set(strokes.filter((_, k) => felt[k]));
  if (known.size === strokes.length) return motion;
  return {
    ...motion,
    feltStrokes: known.size,
    strokes: {
      ...motion.strokes,
      strokes: strokes.map((stroke) => ({ ...stroke, complete: stroke.complete && known.has(stroke) })),
      cycles: motion.strokes.cycles.filter(
        ({ compression, rebound }) => known.has(compression) && known.has(rebound),
      ),
    },
  };
}
