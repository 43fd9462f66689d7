import { leastSquares } from '../numerics/linear.js';

/** A time span in which the shaft stands still, with the position it stands at. */
export interface Rest {
  readonly from_s: number;
  readonly to_s: number;
  readonly position_m: number;
}

/** How many standard errors a slope or curvature may reach by chance. */
const chance = 3.5;

/**
 * Finds where the shaft stands still. Position noise counted as travel would otherwise wear away the friction a
 * resting seal holds: a second of 0.2 mm/s noise is more than a whole presliding travel.
 * A stretch rests when thirds of it differ neither in slope nor in curvature, so a slow smooth turning point,
 * which is curved, does not pass; its ends are then followed out to where the position leaves the noise.
 * @param time_s, position_m the position channel
 * @param sampleNoise_m noise of one position sample, m
 * @param slowest_m_per_s mean speed of the slowest stroke, m/s; a rest is at least five times slower
 * @returns rests in time order
 */
export function findRests(
  time_s: Float64Array,
  position_m: Float64Array,
  sampleNoise_m: number,
  slowest_m_per_s: number,
): Rest[] {
  const n = time_s.length;
  const spacing_s = (time_s[n - 1] - time_s[0]) / (n - 1);
  // Over three thirds of m samples, drift is 2·m·spacing·speed with standard error noise·√(2/m).
  const thirdWanted = Math.cbrt(2 * ((5 * chance * sampleNoise_m) / (2 * spacing_s * slowest_m_per_s)) ** 2);
  const third = Math.max(5, Math.ceil(thirdWanted));
  const rests: Rest[] = [];
  if (!Number.isFinite(third) || 3 * third > n) return rests;
  const error = sampleNoise_m / Math.sqrt(third);
  const mean = (from: number) => {
    let sum = 0;
    for (let i = from; i < from + third; i++) sum += position_m[i];
    return sum / third;
  };
  let from = 0;
  let free = 0;
  // Means of the last two thirds looked at, which are the first two of the next stretch where that follows on.
  let [a, b] = [mean(0), mean(third)];
  while (from + 3 * third <= n) {
    const c = mean(from + 2 * third);
    const still =
      Math.abs(c - a) < chance * Math.SQRT2 * error &&
      Math.abs(a - 2 * b + c) < chance * Math.sqrt(6) * error;
    if (!still) {
      from += third;
      [a, b] = [b, c];
      continue;
    }
    const stretch = { low: from, high: from + 3 * third - 1, position_m: (a + b + c) / 3 };
    const rest = followOut(position_m, stretch, free, 3 * sampleNoise_m);
    if (!turnsSmoothly(time_s, position_m, rest.low, rest.high, sampleNoise_m)) {
      rests.push({ from_s: time_s[rest.low], to_s: time_s[rest.high], position_m: rest.position_m });
      // Over minutes chance does break a rest in two; the second then must not reach back into the first.
      free = rest.high + 1;
    }
    from = Math.max(rest.high + 1, from + third);
    if (from + 3 * third <= n) [a, b] = [mean(from), mean(from + third)];
  }
  return joined(rests, time_s, position_m, 6 * sampleNoise_m);
}

/** Joins rests that chance broke in two: the position between them never left a band about where they stand. */
function joined(
  rests: readonly Rest[],
  time_s: Float64Array,
  position_m: Float64Array,
  band_m: number,
): Rest[] {
  const whole: Rest[] = [];
  let i = 0;
  for (const rest of rests) {
    const before = whole[whole.length - 1];
    if (!before) {
      whole.push(rest);
      continue;
    }
    const [length, more] = [before.to_s - before.from_s, rest.to_s - rest.from_s];
    const middle_m = (before.position_m * length + rest.position_m * more) / (length + more);
    while (time_s[i] < before.to_s) i++;
    let stays = true;
    for (let k = i; time_s[k] <= rest.from_s; k++)
      if (!(Math.abs(position_m[k] - middle_m) <= band_m)) stays = false;
    if (stays) whole[whole.length - 1] = { from_s: before.from_s, to_s: rest.to_s, position_m: middle_m };
    else whole.push(rest);
  }
  return whole;
}

/** Samples `low` to `high` and their mean position. */
interface Stretch {
  readonly low: number;
  readonly high: number;
  readonly position_m: number;
}

/**
 * Widens a resting stretch, back to sample `first` at most, until two samples in a row leave the noise, then steps
 * back to the last one well inside.
 */
function followOut(
  position_m: Float64Array,
  { low, high, position_m: start_m }: Stretch,
  first: number,
  band_m: number,
): Stretch {
  let count = high - low + 1;
  let sum = start_m * count;
  const follow = (from: number, step: number) => {
    let at = from;
    let inside = from;
    for (let i = from + step; i >= first && i < position_m.length; i += step) {
      const off = Math.abs(position_m[i] - sum / count);
      if (off > band_m) {
        const next = position_m[i + step] ?? Number.NaN;
        if (!(Math.abs(next - sum / count) <= band_m)) break;
        continue;
      }
      at = i;
      sum += position_m[i];
      count++;
      if (off < band_m / 2) inside = i;
    }
    return Math.abs(at - inside) < 8 ? inside : at;
  };
  const end = follow(high, 1);
  const begin = follow(low, -1);
  return { low: begin, high: end, position_m: sum / count };
}

/** What a quartic leaves of a stretch, in sample noises, when it surely is a smooth turn, and when it may be one. */
const surelyTurns = 1.25;
const mayTurn = 1.6;
/** What a turn may leave of the stretch itself, over what standing still leaves. */
const mostWorse = 1.08;

/**
 * A smooth turning point also stays within the noise for a while. Seen over twice its length it is still a
 * quartic, which a rest between two strokes is not.
 */
function turnsSmoothly(
  time_s: Float64Array,
  position_m: Float64Array,
  low: number,
  high: number,
  sampleNoise_m: number,
): boolean {
  const margin = (high - low + 1) >> 1;
  const from = Math.max(0, low - margin);
  const to = Math.min(position_m.length, high + 1 + margin);
  // Where it does not move over twice the length either, nothing turns.
  if (spread(position_m, from, to) < 1.25 * sampleNoise_m) return false;
  const middle_s = 0.5 * (time_s[from] + time_s[to - 1]);
  const half_s = 0.5 * (time_s[to - 1] - time_s[from]);
  const along = time_s.slice(from, to).map((t) => (t - middle_s) / half_s);
  const columns = [0, 1, 2, 3, 4].map((power) => along.map((s) => s ** power));
  const { residuals, residualSd } = leastSquares(columns, position_m.slice(from, to));
  if (residualSd < surelyTurns * sampleNoise_m) return true;
  if (residualSd > mayTurn * sampleNoise_m) return false;
  // Coarse steps and the noise beside them may come to more than the estimate of both: which explains the stretch itself?
  return spread(residuals, low - from, high + 1 - from) < mostWorse * spread(position_m, low, high + 1);
}

function spread(position_m: Float64Array, from: number, to: number): number {
  let mean = 0;
  for (let i = from; i < to; i++) mean += position_m[i] / (to - from);
  let squares = 0;
  for (let i = from; i < to; i++) squares += (position_m[i] - mean) ** 2;
  return Math.sqrt(squares / (to - from));
}
