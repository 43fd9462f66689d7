import type { Rest } from './rests.js';

/**
 * How the shaft leaves a rest, or comes to one: still until an instant, then with steady acceleration over a while,
 * then at a steady speed. On the other side of time for an arrival.
 */
export interface Onset {
  /** Instant at which it stands still. */
  readonly at_s: number;
  /** Time over which its speed grows, ≥ 0. */
  readonly ramp_s: number;
  /** Farthest instant from there at which the form still holds. */
  readonly until_s: number;
  readonly rest_m: number;
  /** Steady speed away from the rest, signed by position. */
  readonly speed_m_per_s: number;
}

/** A rest whose ends are known to a fraction of a sample. */
export interface EdgedRest extends Rest {
  readonly arrival: Onset | null;
  readonly departure: Onset | null;
}

/** Travel over which an onset is fitted, in sample noises, and samples of the rest that take part. */
const travelInNoises = 25;
const restSamples = 15;
const mostSamples = 400;
const triesPerSample = 4;
/** Gain in sum of squares, in noise variances, that a ramp must bring: without, one would always be found. */
const rampGain = 4;
/** Ramps that are tried, in samples. */
const ramps = [0, 1, 2, 3, 4, 6, 8, 11, 16, 23, 32, 45, 64, 128, 400];

/**
 * Sharpens the ends of rests. A rest found by its noise ends only once the position has left it, when a slow stroke
 * is already a tenth of a presliding travel on its way. Here the position near each end is fitted as standing still
 * until an instant, gathering speed evenly and going on steadily, by least squares over instant and ramp.
 * @param time_s, position_m the position channel
 * @param noise_m noise of one sample
 */
export function withOnsets(
  time_s: Float64Array,
  position_m: Float64Array,
  rests: readonly Rest[],
  noise_m: number,
): EdgedRest[] {
  const indexAt = (t: number) => {
    let low = 0;
    let high = time_s.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (time_s[middle] < t) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return rests.map((rest, k) => {
    const first = indexAt(rest.from_s);
    const last = indexAt(rest.to_s);
    const earliest = k > 0 ? indexAt(rests[k - 1].to_s) + 1 : 0;
    const latest = k + 1 < rests.length ? indexAt(rests[k + 1].from_s) - 1 : time_s.length - 1;
    const arrival = onset(
      time_s,
      position_m,
      first,
      -1,
      Math.min(last, first + restSamples),
      earliest,
      rest,
      noise_m,
    );
    const departure = onset(
      time_s,
      position_m,
      last,
      1,
      Math.max(first, last - restSamples),
      latest,
      rest,
      noise_m,
    );
    const from_s = arrival?.at_s ?? rest.from_s;
    const to_s = departure?.at_s ?? rest.to_s;
    return from_s < to_s
      ? { ...rest, from_s, to_s, arrival, departure }
      : { ...rest, arrival: null, departure: null };
  });
}

/**
 * @param edge last sample that is surely at rest, going in `direction`
 * @param inside sample of the rest from which on the fit looks, `bound` the last sample it may look at
 */
function onset(
  time_s: Float64Array,
  position_m: Float64Array,
  edge: number,
  direction: 1 | -1,
  inside: number,
  bound: number,
  { position_m: rest_m }: Rest,
  noise_m: number,
): Onset | null {
  const reach_m = travelInNoises * noise_m;
  let away = edge;
  for (let n = 0; n < mostSamples && away !== bound && Math.abs(position_m[away] - rest_m) < reach_m; n++)
    away += direction;
  const count = Math.abs(away - inside) + 1;
  if (Math.abs(position_m[away] - rest_m) < reach_m || Math.abs(away - edge) < 3) return null;
  const after_s = Float64Array.from(
    { length: count },
    (_, i) => direction * (time_s[inside + direction * i] - time_s[inside]),
  );
  const moved_m = Float64Array.from({ length: count }, (_, i) => position_m[inside + direction * i] - rest_m);
  const spacing_s = after_s[count - 1] / (count - 1);
  let best: { at: number; ramp_s: number; speed: number } | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < (count - 3) * triesPerSample; i++) {
    const whole = Math.floor(i / triesPerSample);
    const at =
      after_s[whole] + ((i % triesPerSample) / triesPerSample) * (after_s[whole + 1] - after_s[whole]);
    for (const ramp of ramps) {
      const { speed, rss } = leaving(after_s, moved_m, at, ramp * spacing_s);
      const judged = rss + (ramp > 0 ? rampGain * noise_m * noise_m : 0);
      if (judged >= least) continue;
      least = judged;
      best = { at, ramp_s: ramp * spacing_s, speed };
    }
  }
  return (
    best && {
      at_s: time_s[inside] + direction * best.at,
      ramp_s: best.ramp_s,
      until_s: time_s[away],
      rest_m,
      speed_m_per_s: best.speed,
    }
  );
}

/** Path of unit speed after a ramp: t²/2r, then t − r/2. */
const path = (t_s: number, ramp_s: number): number =>
  t_s <= 0 ? 0 : t_s < ramp_s ? (0.5 * t_s * t_s) / ramp_s : t_s - 0.5 * ramp_s;

/** Least-squares speed of a path that begins at an instant, and what it leaves. */
function leaving(t_s: Float64Array, moved_m: Float64Array, at: number, ramp_s: number) {
  let square = 0;
  let product = 0;
  let total = 0;
  for (let i = 0; i < t_s.length; i++) {
    const b = path(t_s[i] - at, ramp_s);
    square += b * b;
    product += b * moved_m[i];
    total += moved_m[i] * moved_m[i];
  }
  const speed = square > 0 ? product / square : 0;
  return { speed, rss: total - speed * product };
}

/** Position, velocity and acceleration of an onset at an instant between `at_s` and `until_s`. */
export function onsetAt({ at_s, ramp_s, rest_m, speed_m_per_s }: Onset, time_s: number) {
  const t = Math.abs(time_s - at_s);
  const side = Math.sign(time_s - at_s);
  const share = t < ramp_s ? t / ramp_s : 1;
  return {
    position_m: rest_m + speed_m_per_s * path(t, ramp_s),
    velocity_m_per_s: side * speed_m_per_s * share,
    acceleration_m_per_s2: t < ramp_s ? speed_m_per_s / ramp_s : 0,
  };
}
