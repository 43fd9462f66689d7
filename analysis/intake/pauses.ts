/** A clock that skips pauses, and the way back to the recording's own. */
export interface ShortClock {
  /** Instants of the recording, in order of time, on the short clock; increasing times stay increasing. */
  shorten(time_s: Float64Array): Float64Array;
  /** Instants of the short clock, in order of time, on the recording's own. */
  restore(time_s: Float64Array): Float64Array;
  /** Last instant, the first being 0. */
  readonly length_s: number;
}

/** Silence that is kept of each pause: far longer than lag, averaging and any dwell that friction tells apart. */
const kept_s = 5;

/**
 * Makes a clock that begins at 0 and on which no silence is longer than five seconds, so that work and memory follow
 * what was sampled and not how long the rig stood: nobody knows how the shaft moved while nothing was sampled.
 * @param a, b increasing times of two channels; where both are silent there is a pause, s
 */
export function shortClock(a: Float64Array, b: Float64Array): ShortClock {
  // Both clocks at the ends of every stretch that was sampled; they run alike in between.
  const recorded = [Math.min(a[0], b[0])];
  const short = [0];
  let last_s = recorded[0];
  const runOn = () => {
    short.push(short[short.length - 1] + (last_s - recorded[recorded.length - 1]));
    recorded.push(last_s);
  };
  for (let i = 0, k = 0; i < a.length || k < b.length; ) {
    const time_s = k >= b.length || a[i] <= b[k] ? a[i++] : b[k++];
    if (time_s - last_s > kept_s) {
      runOn();
      short.push(short[short.length - 1] + kept_s);
      recorded.push(time_s);
    }
    last_s = time_s;
  }
  runOn();
  return {
    shorten: (time_s) => carried(time_s, recorded, short),
    restore: (time_s) => carried(time_s, short, recorded),
    length_s: short[short.length - 1],
  };
}

/** Instants of one clock on the other, both known at common moments; beyond these the clocks run alike. */
function carried(time_s: Float64Array, from: readonly number[], to: readonly number[]): Float64Array {
  const out = new Float64Array(time_s.length);
  let k = 0;
  for (let i = 0; i < time_s.length; i++) {
    while (k + 1 < from.length && from[k + 1] <= time_s[i]) k++;
    const since_s = time_s[i] - from[k];
    // Every other stretch is a pause; all others have a slope of exactly 1.
    const isPause = since_s > 0 && k % 2 === 1 && k + 1 < from.length;
    out[i] = to[k] + (isPause ? (since_s * (to[k + 1] - to[k])) / (from[k + 1] - from[k]) : since_s);
  }
  return out;
}
