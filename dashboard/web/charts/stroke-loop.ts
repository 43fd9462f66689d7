import type { ApiPoints } from '../../server/api.js';

/** One closed stroke cycle. */
export interface StrokeLoop {
  readonly position_m: readonly number[];
  /** Fitted force. */
  readonly force_N: readonly number[];
  readonly peakVelocity_m_per_s: number;
}

/** Fewer points than this on a cycle would draw a polygon, not a loop. */
const LEAST_POINTS = 12;
/** Speeds at start and end further apart than this share of the peak are a change of speed, and no loop closes. */
const MOST_CHANGE = 0.1;

/**
 * The fastest whole cycle of a recording at a steady speed, as the fit sees it.
 * A cycle runs from one compression stroke's middle to the next one's.
 * @returns null where no whole cycle was measured with points enough to be drawn
 */
export function fastestLoop(points: ApiPoints): StrokeLoop | null {
  const { position_m, velocity_m_per_s, force_N, residual_N } = points;
  const middle = (Math.min(...position_m) + Math.max(...position_m)) / 2;
  const starts: number[] = [];
  for (let i = 1; i < position_m.length; i++)
    if (position_m[i - 1]! < middle && position_m[i]! >= middle) starts.push(i);

  let best: StrokeLoop | null = null;
  for (let n = 1; n < starts.length; n++) {
    const [start, end] = [starts[n - 1]!, starts[n]! + 1];
    if (end - start < LEAST_POINTS) continue;
    const peak = Math.max(...velocity_m_per_s.slice(start, end).map(Math.abs));
    if (best && peak <= best.peakVelocity_m_per_s) continue;
    if (Math.abs(velocity_m_per_s[start]! - velocity_m_per_s[end - 1]!) > MOST_CHANGE * peak) continue;
    best = {
      position_m: position_m.slice(start, end),
      force_N: force_N.slice(start, end).map((force, i) => force - residual_N[start + i]!),
      peakVelocity_m_per_s: peak,
    };
  }
  return best;
}
