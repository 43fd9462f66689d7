/** Where a noisy position turns round: a retreat from the running extreme by more than a hysteresis confirms it. */
import { madToSd, medianInPlace } from '../numerics/summary.js';
import { steadyRange, withoutSpikes } from './spikes.js';

/** One end of a stroke. */
export interface Turn {
  /** Sample of the extreme itself. */
  readonly index: number;
  /** Instant of the turn: middle of the stay near the extreme; for a rest, its edge towards the stroke. */
  readonly time_s: number;
  readonly position_m: number;
  /** A reversal; at rest or just turning where the record starts or ends; or a stroke that the record cuts off. */
  readonly kind: 'reversal' | 'rest' | 'cut';
  /** How much longer the position stayed near the extreme than a sinusoidal turn would have; >= 0. */
  readonly dwell_s: number;
}

export interface Turns {
  /** From the record's start to its end, extremes alternating; empty where nothing moves beyond the hysteresis. */
  readonly turns: readonly Turn[];
  /** Noise of one position sample, as estimated. */
  readonly noise_m: number;
  readonly hysteresis_m: number;
}

/** Share of the adjoining stroke that counts as near its extreme. */
const nearShare = 0.005;
/** Noise stays within ±4.5 sd of its middle over 10⁵ samples, so its full swing is under 9. */
const noiseSwing = 9;

/**
 * Finds the turns of a position record: reversals, and how the record begins and ends.
 * @param time_s n strictly increasing times
 * @param position_m n finite positions
 * @param hysteresis_m retreat that makes a reversal; default the largest of 12 times the noise, 3 times the
 *   smallest step (resolution) and 2 % of the whole travel
 * @returns the turns with the noise and hysteresis used
 * Numerical notes: single wild samples are replaced first. Reversal times are good to the sampling interval or
 *   better: the middle of the stay near the extreme, its edges interpolated, or a parabola where that stay is
 *   shorter than four samples. Noise comes from sixth differences, which a sampled stroke hardly feels (ten
 *   samples a cycle: 0.2 % of its amplitude); hum slower than that is not seen and is left to the 2 %.
 */
export function findTurns(time_s: Float64Array, position_m: Float64Array, hysteresis_m?: number): Turns {
  const noise_m = sixthDifferenceNoise(position_m);
  const step_m = smallestStep(position_m);
  const hysteresis = hysteresis_m ?? Math.max(12 * noise_m, 3 * step_m, 0.02 * steadyRange(position_m));
  const x = withoutSpikes(position_m, hysteresis);
  const extremes = alternatingExtremes(x, hysteresis);
  const near_m = Math.min(hysteresis, Math.max(noiseSwing * noise_m, 1.5 * step_m));
  const turns = extremes.map((_, k) => placeTurn(time_s, x, extremes, k, near_m));
  return { turns, noise_m, hysteresis_m: hysteresis };
}

/** Indices of extremes, first and last being where the record's first and last strokes begin and end. */
function alternatingExtremes(x: Float64Array, hysteresis: number): number[] {
  const found: number[] = [];
  let low = 0;
  let high = 0;
  let direction = 0;
  for (let i = 1; i < x.length; i++) {
    if (x[i] < x[low]) low = i;
    if (x[i] > x[high]) high = i;
    if (direction <= 0 && x[i] - x[low] > hysteresis) {
      found.push(low);
      direction = 1;
      high = i;
    } else if (direction >= 0 && x[high] - x[i] > hysteresis) {
      found.push(high);
      direction = -1;
      low = i;
    }
  }
  if (direction !== 0) found.push(direction > 0 ? high : low);
  return found;
}

function placeTurn(
  time_s: Float64Array,
  x: Float64Array,
  extremes: readonly number[],
  k: number,
  nearNoise_m: number,
): Turn {
  const index = extremes[k];
  const before = k > 0 ? extremes[k - 1] : null;
  const after = k + 1 < extremes.length ? extremes[k + 1] : null;
  const neighbours = [before, after].filter((j) => j !== null);
  const stroke_m = Math.min(...neighbours.map((j) => Math.abs(x[j] - x[index])));
  const stroke_s = Math.min(...neighbours.map((j) => Math.abs(time_s[j] - time_s[index])));
  const near_m = Math.max(nearNoise_m, nearShare * stroke_m);
  const arrive_s = before === null ? time_s[0] : leaveTime(time_s, x, index, -1, near_m);
  const leave_s = after === null ? time_s[x.length - 1] : leaveTime(time_s, x, index, 1, near_m);
  // Half the time a sinusoidal stroke of this size and duration stays this near its end.
  const half_s = (stroke_s / Math.PI) * Math.sqrt((4 * near_m) / stroke_m);
  const stay_s = leave_s - arrive_s;
  const position_m = x[index];
  if (before !== null && after !== null)
    return {
      index,
      time_s:
        stay_s < 4 * (time_s[index + 1] - time_s[index])
          ? vertex(time_s, x, index)
          : 0.5 * (arrive_s + leave_s),
      position_m,
      kind: 'reversal',
      dwell_s: Math.max(0, stay_s - 2 * half_s),
    };
  const atRest = stay_s > 0.5 * half_s;
  const inward_s = Math.min(stay_s, half_s);
  return {
    index,
    time_s: before === null ? leave_s - inward_s : arrive_s + inward_s,
    position_m,
    kind: atRest ? 'rest' : 'cut',
    dwell_s: Math.max(0, stay_s - half_s),
  };
}

/** Instant at which the parabola through a sample and its two neighbours turns. */
function vertex(time_s: Float64Array, x: Float64Array, i: number): number {
  const before = time_s[i] - time_s[i - 1];
  const after = time_s[i + 1] - time_s[i];
  const fall = (x[i] - x[i - 1]) / before;
  const rise = (x[i + 1] - x[i]) / after;
  const bend = fall - rise;
  return bend === 0
    ? time_s[i]
    : time_s[i] + 0.25 * (after - before) + (0.25 * (before + after) * (fall + rise)) / bend;
}

/** Instant, going from sample `index` in `direction`, at which the position first is `near_m` from x[index]. */
function leaveTime(
  time_s: Float64Array,
  x: Float64Array,
  index: number,
  direction: 1 | -1,
  near_m: number,
): number {
  let i = index;
  while (i >= 0 && i < x.length && Math.abs(x[i] - x[index]) <= near_m) i += direction;
  if (i < 0 || i >= x.length) return time_s[i - direction];
  const inside = Math.abs(x[i - direction] - x[index]);
  const outside = Math.abs(x[i] - x[index]);
  const share = (near_m - inside) / (outside - inside);
  return time_s[i - direction] + share * (time_s[i] - time_s[i - direction]);
}

function sixthDifferenceNoise(x: Float64Array): number {
  if (x.length < 8) return 0;
  const size = new Float64Array(x.length - 6);
  for (let i = 0; i < size.length; i++)
    size[i] = Math.abs(
      x[i] + x[i + 6] - 6 * (x[i + 1] + x[i + 5]) + 15 * (x[i + 2] + x[i + 4]) - 20 * x[i + 3],
    );
  return (madToSd * medianInPlace(size)) / Math.sqrt(924); // 924 = sum of the squared binomial coefficients
}

/** Resolution of a quantised record: its smallest change from one sample to the next that is not zero. */
function smallestStep(x: Float64Array): number {
  let least = Infinity;
  for (let i = 1; i < x.length; i++) {
    const step = Math.abs(x[i] - x[i - 1]);
    if (step > 0 && step < least) least = step;
  }
  return least === Infinity ? 0 : least;
}
