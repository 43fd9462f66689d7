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
/** Cycles whose peaks differ by less than this share were driven at one speed. */
const SAME_SPEED = 0.12;

const found = new WeakMap<ApiPoints, readonly StrokeLoop[]>();

/**
 * The whole cycles of a recording at a steady speed, as the fit sees them; found once.
 * A cycle runs from one compression stroke's middle to the next one's.
 * @returns those that were measured with points enough to be drawn, in the order of time
 */
export function strokeLoops(points: ApiPoints): readonly StrokeLoop[] {
  const loops = found.get(points) ?? findLoops(points);
  found.set(points, loops);
  return loops;
}

function findLoops({ position_m, velocity_m_per_s, force_N, residual_N }: ApiPoints): StrokeLoop[] {
  const middle = (Math.min(...position_m) + Math.max(...position_m)) / 2;
  const starts: number[] = [];
  for (let i = 1; i < position_m.length; i++)
    if (position_m[i - 1]! < middle && position_m[i]! >= middle) starts.push(i);

  return starts.slice(1).flatMap((next, n): StrokeLoop[] => {
    const [start, end] = [starts[n]!, next + 1];
    if (end - start < LEAST_POINTS) return [];
    const peak = Math.max(...velocity_m_per_s.slice(start, end).map(Math.abs));
    if (Math.abs(velocity_m_per_s[start]! - velocity_m_per_s[end - 1]!) > MOST_CHANGE * peak) return [];
    return [
      {
        position_m: position_m.slice(start, end),
        force_N: force_N.slice(start, end).map((force, i) => force - residual_N[start + i]!),
        peakVelocity_m_per_s: peak,
      },
    ];
  });
}

/** The fastest whole cycle, or null where none was measured. */
export function fastestLoop(points: ApiPoints): StrokeLoop | null {
  return strokeLoops(points).reduce<StrokeLoop | null>(
    (best, loop) => (best && best.peakVelocity_m_per_s >= loop.peakVelocity_m_per_s ? best : loop),
    null,
  );
}

/** The peak speeds that cycles were driven at, slowest first, each once. */
export function loopSpeeds_m_per_s(loops: readonly StrokeLoop[]): number[] {
  const speeds: number[] = [];
  for (const peak of loops.map((loop) => loop.peakVelocity_m_per_s).sort((a, b) => a - b))
    if (!(peak <= (speeds.at(-1) ?? 0) * (1 + SAME_SPEED))) speeds.push(peak);
  return speeds;
}

/** The cycle nearest to a peak speed, or null where none was driven at about that speed. */
export function loopNear(loops: readonly StrokeLoop[], speed_m_per_s: number): StrokeLoop | null {
  const off = (loop: StrokeLoop) => Math.abs(loop.peakVelocity_m_per_s / speed_m_per_s - 1);
  const nearest = loops.reduce<StrokeLoop | null>(
    (best, loop) => (best && off(best) <= off(loop) ? best : loop),
    null,
  );
  return nearest && off(nearest) <= SAME_SPEED ? nearest : null;
}
