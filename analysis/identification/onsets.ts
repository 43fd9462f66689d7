import type { Rest } from './rests.js';

/** How the shaft leaves a rest, or comes to one: position at a rest plus gain·|t − at|^power on one side of it. */
export interface Onset {
  /** Instant at which it stands still. */
  readonly at_s: number;
  /** Farthest instant from there at which the form still holds. */
  readonly until_s: number;
  readonly rest_m: number;
  readonly gain: number;
  readonly power: 1 | 2;
}

/** A rest whose ends are known to a fraction of a sample. */
export interface EdgedRest extends Rest {
  readonly arrival: Onset | null;
  readonly departure: Onset | null;
}

/** Travel over which an onset is fitted, in sample noises, and samples of the rest that take part. */
const travelInNoises = 12;
const restSamples = 15;
const mostSamples = 400;
const triesPerSample = 4;

/**
 * Sharpens the ends of rests. A rest found by its noise ends only once the position has left it, when a slow stroke
 * is already a tenth of a presliding travel on its way. Here the position near each end is fitted as standing still
 * until an instant and going away from there steadily, or with steady acceleration, whichever fits better.
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
  let best: { at: number; gain: number; power: 1 | 2 } | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < (count - 3) * triesPerSample; i++) {
    const whole = Math.floor(i / triesPerSample);
    const at =
      after_s[whole] + ((i % triesPerSample) / triesPerSample) * (after_s[whole + 1] - after_s[whole]);
    for (const power of [1, 2] as const) {
      const { gain, rss } = hinge(after_s, moved_m, at, power);
      if (rss >= least) continue;
      least = rss;
      best = { at, gain, power };
    }
  }
  return best && { ...best, at_s: time_s[inside] + direction * best.at, until_s: time_s[away], rest_m };
}

/** Least-squares gain of max(0, t − at)^power, and what it leaves. */
function hinge(t_s: Float64Array, moved_m: Float64Array, at: number, power: 1 | 2) {
  let square = 0;
  let product = 0;
  let total = 0;
  for (let i = 0; i < t_s.length; i++) {
    const past = Math.max(0, t_s[i] - at);
    const b = power === 1 ? past : past * past;
    square += b * b;
    product += b * moved_m[i];
    total += moved_m[i] * moved_m[i];
  }
  const gain = square > 0 ? product / square : 0;
  return { gain, rss: total - gain * product };
}

/** Position, velocity and acceleration of an onset at an instant between `at_s` and `until_s`. */
export function onsetAt({ at_s, rest_m, gain, power }: Onset, time_s: number) {
  const t = time_s - at_s;
  const size = Math.abs(t);
  return power === 1
    ? { position_m: rest_m + gain * size, velocity_m_per_s: Math.sign(t) * gain, acceleration_m_per_s2: 0 }
    : {
        position_m: rest_m + gain * size * size,
        velocity_m_per_s: 2 * gain * t,
        acceleration_m_per_s2: 2 * gain,
      };
}
