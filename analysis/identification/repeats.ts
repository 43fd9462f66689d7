import type { Stroke } from '../kinematics/strokes.js';
import type { FitProblem } from './problem.js';
import { RowReader } from './rows.js';
import type { Fit } from './solve.js';

/** Strokes of either direction are sorted into so many lots by speed, and each cut into so many parts. */
const lots = 4;
const parts = 16;

/**
 * Share of a fit's residual sum of squares that comes back in the same part of strokes of the same direction and about
 * the same speed: all of it, were the residual a matter of the motion; next to nothing for noise, whatever its colour.
 * @param strokes the recording's, in time order
 * @param stride takes every stride-th sample
 */
export function repeatedShare(
  problem: FitProblem,
  { shape, coefficients }: Fit,
  strokes: readonly Stroke[],
  stride: number,
): number {
  const lotOf = lotsBySpeed(strokes);
  const sums = new Float64Array(2 * lots * parts);
  const counts = new Float64Array(2 * lots * parts);
  let squares = 0;
  let k = 0;
  for (const rows of new RowReader(problem, [coefficients]).rows(shape, null, stride)) {
    const { values, capacity, sample, count } = rows;
    for (let r = 0; r < count; r++) {
      const residual = values[capacity + r] - values[r];
      const moved_s = problem.time_s[sample[r]] - shape.lag_s;
      while (k < strokes.length - 1 && strokes[k].end_s < moved_s) k++;
      const { start_s, end_s } = strokes[k];
      const part = Math.floor((parts * (moved_s - start_s)) / (end_s - start_s));
      const bin = parts * lotOf[k] + Math.max(0, Math.min(parts - 1, part));
      sums[bin] += residual;
      counts[bin]++;
      squares += residual * residual;
    }
  }
  let repeated = 0;
  for (let bin = 0; bin < sums.length; bin++) if (counts[bin] > 0) repeated += sums[bin] ** 2 / counts[bin];
  return repeated / squares;
}

/** Number of the lot, of either direction, that each stroke belongs to. */
function lotsBySpeed(strokes: readonly Stroke[]): Int32Array {
  const lotOf = new Int32Array(strokes.length);
  (['compression', 'rebound'] as const).forEach((direction, side) => {
    const alike = strokes.flatMap((stroke, k) => (stroke.direction === direction ? [k] : []));
    alike.sort((a, b) => strokes[a].peakSpeed_m_per_s - strokes[b].peakSpeed_m_per_s);
    alike.forEach((k, rank) => {
      lotOf[k] = lots * side + Math.floor((lots * rank) / alike.length);
    });
  });
  return lotOf;
}
