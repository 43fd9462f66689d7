/** Strokes and cycles of a position record, and which cycles ran at a settled speed. */
import { median, quantile } from '../numerics/summary.js';
import { type LocalMotion, motionAt } from './local-polynomial.js';
import { findTurns, type Turn } from './reversals.js';
import { withoutSpikes } from './spikes.js';

export interface Stroke {
  readonly direction: 'compression' | 'rebound';
  /** First sample and one past the last, between the instants of the two turns. */
  readonly start: number;
  readonly end: number;
  readonly start_s: number;
  readonly end_s: number;
  readonly amplitude_m: number;
  readonly peakSpeed_m_per_s: number;
  /** False where the record begins or ends in the middle of it. */
  readonly complete: boolean;
}

/** A complete compression stroke and the complete rebound that follows it. */
export interface Cycle {
  readonly compression: Stroke;
  readonly rebound: Stroke;
  readonly start: number;
  readonly end: number;
  readonly start_s: number;
  readonly period_s: number;
  /** Mean of the two strokes' lengths (twice a crank's radius). */
  readonly stroke_m: number;
  readonly peakSpeed_m_per_s: number;
  /** False while the speed or the stroke was changing: neither neighbour ran like this cycle. */
  readonly settled: boolean;
}

export interface StrokePattern {
  readonly turns: readonly Turn[];
  /** Between consecutive turns, in order of time. */
  readonly strokes: readonly Stroke[];
  readonly cycles: readonly Cycle[];
  readonly noise_m: number;
  readonly hysteresis_m: number;
}

export interface StrokeOptions {
  /** Retreat that makes a reversal; see `findTurns`. */
  readonly hysteresis_m?: number;
  /** n velocities for the peak speeds; by default from cubics over a twelfth of a short stroke each way. */
  readonly velocity_m_per_s?: Float64Array;
  /** Relative change of period or stroke up to which neighbouring cycles count as alike; default 0.05. */
  readonly likeness?: number;
}

/**
 * Cuts a position record into strokes and cycles.
 * @param time_s n strictly increasing times
 * @param position_m n finite positions, positive into compression
 * @param options hysteresis, velocities, likeness
 * @returns strokes and cycles; both empty where nothing moves beyond the hysteresis
 * Numerical notes: a dwell belongs half to the stroke before and half to the one after it. Hand-cranked cycles
 *   differ from each other all the time; the likeness is therefore never less than three times the median
 *   change from one cycle to the next.
 */
export function findStrokes(
  time_s: Float64Array,
  position_m: Float64Array,
  options: StrokeOptions = {},
): StrokePattern {
  if (position_m.length !== time_s.length)
    throw new RangeError(`${time_s.length} times for ${position_m.length} positions`);
  const { turns, noise_m, hysteresis_m } = findTurns(time_s, position_m, options.hysteresis_m);
  const speeds = options.velocity_m_per_s
    ? { time_s, velocity_m_per_s: options.velocity_m_per_s }
    : speedNodes(time_s, withoutSpikes(position_m, hysteresis_m), turns);
  const strokes: Stroke[] = [];
  let start = 0;
  let node = 0;
  for (let k = 0; k + 1 < turns.length; k++) {
    while (start < time_s.length && time_s[start] < turns[k].time_s) start++;
    let end = start;
    while (end < time_s.length && time_s[end] <= turns[k + 1].time_s) end++;
    let peakSpeed_m_per_s = 0;
    for (; node < speeds.time_s.length && speeds.time_s[node] <= turns[k + 1].time_s; node++)
      if (speeds.time_s[node] >= turns[k].time_s)
        peakSpeed_m_per_s = Math.max(peakSpeed_m_per_s, Math.abs(speeds.velocity_m_per_s[node]));
    const travel = turns[k + 1].position_m - turns[k].position_m;
    strokes.push({
      direction: travel > 0 ? 'compression' : 'rebound',
      start,
      end,
      start_s: turns[k].time_s,
      end_s: turns[k + 1].time_s,
      amplitude_m: Math.abs(travel),
      peakSpeed_m_per_s,
      complete: turns[k].kind !== 'cut' && turns[k + 1].kind !== 'cut',
    });
    start = end;
  }
  return { turns, strokes, cycles: pairCycles(strokes, options.likeness ?? 0.05), noise_m, hysteresis_m };
}

/** Velocity at instants a quarter of its half-window apart: enough for a peak, whatever the sample rate. */
function speedNodes(
  time_s: Float64Array,
  position_m: Float64Array,
  turns: readonly Turn[],
): Pick<LocalMotion, 'time_s' | 'velocity_m_per_s'> {
  if (turns.length < 2) return { time_s: new Float64Array(0), velocity_m_per_s: new Float64Array(0) };
  const durations = Float64Array.from(turns.slice(1), (turn, k) => turn.time_s - turns[k].time_s);
  const length_s = time_s[time_s.length - 1] - time_s[0];
  const spacing_s = length_s / (time_s.length - 1);
  const halfWindow_s = Math.max(quantile(durations, 0.25) / 12, 2.5 * spacing_s);
  const count = Math.ceil((4 * length_s) / halfWindow_s);
  const all_s = Float64Array.from({ length: count + 1 }, (_, k) => time_s[0] + (k / count) * length_s);
  let next = 0;
  // Inside a gap a cubic is led on from one side, and its speed could be anything.
  const at_s = all_s.filter((t) => {
    while (time_s[next] < t) next++;
    return time_s[next] - t <= halfWindow_s && t - time_s[Math.max(0, next - 1)] <= halfWindow_s;
  });
  return motionAt(time_s, position_m, { degree: 3, halfWindow_s }, at_s);
}

function pairCycles(strokes: readonly Stroke[], likeness: number): Cycle[] {
  const pairs: Omit<Cycle, 'settled'>[] = [];
  for (let k = 0; k + 1 < strokes.length; k++) {
    const [compression, rebound] = [strokes[k], strokes[k + 1]];
    if (compression.direction !== 'compression' || !compression.complete || !rebound.complete) continue;
    pairs.push({
      compression,
      rebound,
      start: compression.start,
      end: rebound.end,
      start_s: compression.start_s,
      period_s: rebound.end_s - compression.start_s,
      stroke_m: 0.5 * (compression.amplitude_m + rebound.amplitude_m),
      peakSpeed_m_per_s: Math.max(compression.peakSpeed_m_per_s, rebound.peakSpeed_m_per_s),
    });
  }
  const changes = pairs
    .slice(1)
    .map((cycle, k) =>
      Math.max(
        Math.abs(Math.log(cycle.period_s / pairs[k].period_s)),
        Math.abs(Math.log(cycle.stroke_m / pairs[k].stroke_m)),
      ),
    );
  const alike = Math.max(likeness, changes.length > 0 ? 3 * median(Float64Array.from(changes)) : 0);
  return pairs.map((cycle, k) => {
    const before = changes[k - 1] ?? Infinity;
    const after = changes[k] ?? Infinity;
    return { ...cycle, settled: pairs.length === 1 || Math.min(before, after) <= alike };
  });
}
