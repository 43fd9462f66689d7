import { motionAt } from '../../../analysis/index.js';
import type { LiveBatch } from '../../server/api.js';

/** Force against velocity over the last seconds, equal lengths, oldest first. */
export interface Trail {
  readonly duration_s: number;
  readonly time_s: readonly number[];
  readonly velocity_mm_per_s: readonly number[];
  readonly force_N: readonly number[];
  append(batch: LiveBatch): void;
  clear(): void;
}

/** Long enough to quiet a position sensor, short against a stroke at 4 rev/s. */
const HALF_WINDOW_S = 0.02;
/** Samples that a slope can be told from. */
const FEWEST = 5;

/**
 * Follows force against velocity while it records, for looking at: slopes of local parabolas through the position at the
 * instants of the force samples, one half-window behind the newest. The analysis smooths with more care.
 * @param duration_s how much is kept; a quarter more may lie in memory
 */
export function createTrail(duration_s: number): Trail {
  const time: number[] = [];
  const velocity: number[] = [];
  const force: number[] = [];
  /** Force samples that wait for the position around them, and the position that they need. */
  let waiting: { readonly time_s: number[]; readonly force_N: number[] } = { time_s: [], force_N: [] };
  let position: { time_s: number[]; position_m: number[] } = { time_s: [], position_m: [] };

  return {
    duration_s,
    time_s: time,
    velocity_mm_per_s: velocity,
    force_N: force,
    append(batch) {
      waiting.time_s.push(...batch.force.time_s);
      waiting.force_N.push(...batch.force.force_N);
      position.time_s.push(...batch.position.time_s);
      position.position_m.push(...batch.position.position_m);
      if (position.time_s.length < FEWEST) return;

      const ready_s = position.time_s.at(-1)! - HALF_WINDOW_S;
      const ready = countUpTo(waiting.time_s, ready_s);
      const at_s = Float64Array.from(waiting.time_s.slice(0, ready));
      const { velocity_m_per_s } = motionAt(
        Float64Array.from(position.time_s),
        Float64Array.from(position.position_m),
        { degree: 2, halfWindow_s: HALF_WINDOW_S },
        at_s,
      );
      for (let i = 0; i < ready; i++) {
        time.push(at_s[i]!);
        velocity.push(1000 * velocity_m_per_s[i]!);
        force.push(waiting.force_N[i]!);
      }
      waiting = { time_s: waiting.time_s.slice(ready), force_N: waiting.force_N.slice(ready) };
      const from = Math.min(
        countUpTo(position.time_s, (waiting.time_s[0] ?? ready_s) - 2 * HALF_WINDOW_S),
        position.time_s.length - FEWEST,
      );
      position = {
        time_s: position.time_s.slice(from),
        position_m: position.position_m.slice(from),
      };
      const last_s = time.at(-1) ?? 0;
      if (last_s - (time[0] ?? 0) < 1.25 * duration_s) return;
      const old = countUpTo(time, last_s - duration_s);
      for (const values of [time, velocity, force]) values.splice(0, old);
    },
    clear() {
      for (const values of [time, velocity, force]) values.length = 0;
      waiting = { time_s: [], force_N: [] };
      position = { time_s: [], position_m: [] };
    },
  };
}

/** How many of increasing times are at or before an instant. */
function countUpTo(time_s: readonly number[], until_s: number): number {
  const after = time_s.findIndex((time) => time > until_s);
  return after < 0 ? time_s.length : after;
}
