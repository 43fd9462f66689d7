/** Reversals smaller than this share of the stroke, or than a step of 20 µm, are noise. */
const NOISE_SHARE = 0.02;
const NOISE_M = 2e-5;
/** Speed is told over half a second, or over half a turn where that takes longer. */
const WINDOW_US = 500_000;
const NOTE_EVERY_US = 20_000;
/** Within this share of the stroke from its end a crank is within 6° of its dead centre. */
const END_SHARE = 0.003;

/** How a crank is being turned, for showing and for counting turns; the analysis has better means. */
export interface CrankMotion {
  take(time_us: number, position_m: number): void;
  /** Turns since the first stroke was seen, parts of a turn included. */
  turns(): number;
  /** Null before the first stroke was seen. */
  speed_rev_per_s(): number | null;
  /** Whether the shaft is at an end of its stroke; false before both ends were seen. */
  isAtEnd(): boolean;
}

/**
 * Follows a crank by the stroke it makes: between its two ends a sinusoid, so that the place in the stroke tells the
 * angle, whatever the stroke is and wherever it lies. A connecting rod distorts that by a few per cent of half a turn,
 * which cancels over the turn.
 */
export function crankMotion(): CrankMotion {
  let direction = 0;
  let extreme_m = Number.NaN;
  let low_m = Number.NaN;
  let high_m = Number.NaN;
  let last_m = Number.NaN;
  let halfTurns = 0;
  let furthest = 0;
  let reversedAt_us = 0;
  let halfTurn_us = 0;
  const notes: { time_us: number; halfTurns: number }[] = [];

  const stroke_m = () => (Number.isNaN(high_m - low_m) ? 0 : high_m - low_m);

  function reverse(time_us: number, position_m: number): void {
    if (direction > 0) high_m = extreme_m;
    else low_m = extreme_m;
    if (stroke_m() > 0) halfTurns++;
    halfTurn_us = time_us - reversedAt_us;
    reversedAt_us = time_us;
    direction = -direction;
    extreme_m = position_m;
  }

  /** Part of the half turn that is behind, 0 to 1. */
  function part(position_m: number): number {
    if (!(stroke_m() > 0)) return 0;
    const done = (direction > 0 ? position_m - low_m : high_m - position_m) / stroke_m();
    return Math.acos(1 - 2 * Math.min(1, Math.max(0, done))) / Math.PI;
  }

  return {
    take(time_us, position_m) {
      last_m = position_m;
      if (Number.isNaN(extreme_m)) extreme_m = position_m;
      const noise_m = Math.max(NOISE_M, NOISE_SHARE * stroke_m());
      const gone_m = position_m - extreme_m;
      if (direction === 0) {
        if (Math.abs(gone_m) > noise_m) direction = Math.sign(gone_m);
      } else if (gone_m * direction > 0) extreme_m = position_m;
      else if (Math.abs(gone_m) > noise_m) reverse(time_us, position_m);
      furthest = Math.max(furthest, halfTurns + part(position_m));
      const since_us = time_us - (notes.at(-1)?.time_us ?? -Infinity);
      if (since_us < NOTE_EVERY_US) return;
      notes.push({ time_us, halfTurns: furthest });
      const window_us = Math.max(WINDOW_US, Math.min(halfTurn_us, 10 * WINDOW_US));
      while (notes.length > 2 && time_us - notes[1]!.time_us >= window_us) notes.shift();
    },
    turns: () => furthest / 2,
    isAtEnd: () => Math.min(last_m - low_m, high_m - last_m) <= END_SHARE * stroke_m(),
    speed_rev_per_s() {
      const [first] = notes;
      const last = notes.at(-1);
      if (halfTurns === 0 || !first || !last || last === first) return null;
      return (last.halfTurns - first.halfTurns) / 2 / ((last.time_us - first.time_us) / 1e6);
    },
  };
}
