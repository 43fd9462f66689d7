/** Strokes and cycles of a position record. */
import { findTurns, type Turn, type Turns } from './reversals.js';

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

/** A stroke before anything is known of its speed. */
export type BareStroke = Omit<Stroke, 'peakSpeed_m_per_s'>;

/** A complete compression stroke and the complete rebound that follows it. */
export interface Cycle {
  readonly compression: Stroke;
  readonly rebound: Stroke;
  readonly period_s: number;
  /** Mean of the two strokes' lengths (twice a crank's radius). */
  readonly stroke_m: number;
}

export interface StrokePattern {
  readonly turns: readonly Turn[];
  /** Between consecutive turns, in order of time. */
  readonly strokes: readonly Stroke[];
  readonly cycles: readonly Cycle[];
}

/** Velocities at n increasing instants. */
export interface KnownSpeeds {
  readonly time_s: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  /** Standard errors; 0 where the velocity was not measured. */
  readonly velocityError_m_per_s: Float64Array;
}

/**
 * Cuts a position record into strokes.
 * @param time_s n strictly increasing times
 * @param position_m n finite positions, positive into compression
 * @param hysteresis_m retreat that makes a reversal; see `findTurns`
 * @returns turns and the strokes between them; none where nothing moves beyond the hysteresis
 * Numerical notes: a dwell belongs half to the stroke before and half to the one after it.
 */
export function findStrokes(
  time_s: Float64Array,
  position_m: Float64Array,
  hysteresis_m?: number,
): Turns & { readonly strokes: readonly BareStroke[] } {
  if (position_m.length !== time_s.length)
    throw new RangeError(`${time_s.length} times for ${position_m.length} positions`);
  const found = findTurns(time_s, position_m, hysteresis_m);
  const { turns } = found;
  const strokes: BareStroke[] = [];
  let start = 0;
  for (let k = 0; k + 1 < turns.length; k++) {
    while (start < time_s.length && time_s[start] < turns[k].time_s) start++;
    let end = start;
    while (end < time_s.length && time_s[end] <= turns[k + 1].time_s) end++;
    const travel = turns[k + 1].position_m - turns[k].position_m;
    strokes.push({
      direction: travel > 0 ? 'compression' : 'rebound',
      start,
      end,
      start_s: turns[k].time_s,
      end_s: turns[k + 1].time_s,
      amplitude_m: Math.abs(travel),
      complete: turns[k].kind !== 'cut' && turns[k + 1].kind !== 'cut',
    });
    start = end;
  }
  return { ...found, strokes };
}

/** Strokes with their peak speeds, and the cycles that they make. */
export function strokePattern(
  turns: readonly Turn[],
  spans: readonly BareStroke[],
  speeds: KnownSpeeds,
): StrokePattern {
  const peak = peakReader(speeds);
  const strokes = spans.map((span) => ({ ...span, peakSpeed_m_per_s: peak(span) }));
  return { turns, strokes, cycles: pairCycles(strokes) };
}

/**
 * Peak speed of strokes asked for in order of time: the velocity that, less two standard errors, is still the fastest;
 * where none was measured, the mean speed.
 */
function peakReader({ time_s, velocity_m_per_s, velocityError_m_per_s }: KnownSpeeds) {
  let i = 0;
  return ({ start_s, end_s, amplitude_m }: BareStroke): number => {
    let surest = Number.NEGATIVE_INFINITY;
    let peak = amplitude_m / (end_s - start_s);
    for (; i < time_s.length && time_s[i] <= end_s; i++) {
      const speed = Math.abs(velocity_m_per_s[i]);
      const sure = speed - 2 * velocityError_m_per_s[i];
      if (time_s[i] < start_s || velocityError_m_per_s[i] === 0 || sure <= surest) continue;
      surest = sure;
      peak = speed;
    }
    return peak;
  };
}

function pairCycles(strokes: readonly Stroke[]): Cycle[] {
  const cycles: Cycle[] = [];
  for (let k = 0; k + 1 < strokes.length; k++) {
    const [compression, rebound] = [strokes[k], strokes[k + 1]];
    if (compression.direction !== 'compression' || !compression.complete || !rebound.complete) continue;
    cycles.push({
      compression,
      rebound,
      period_s: rebound.end_s - compression.start_s,
      stroke_m: 0.5 * (compression.amplitude_m + rebound.amplitude_m),
    });
  }
  return cycles;
}
