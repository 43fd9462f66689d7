import { median } from '../numerics/summary.js';

/** Where along its travel a spring acts alone. */
export interface StraightPart {
  /** Null where it acts from the start, or to the end, of the travel. */
  readonly from_m: number | null;
  readonly to_m: number | null;
  /** Force before the spring is touched; null where it acts from the start of the travel. */
  readonly slack: { readonly force_N: number } | null;
  /** True where something stiffer joins in before the end of the travel: coils that touch, or a stop. */
  readonly bound: boolean;
}

const mostBins = 40;
const samplesPerBin = 5;
/** Local rates within these shares of the middle one belong to the spring, a progressive one included. */
const softest = 0.45;
const stiffest = 2;
/** A gap leaves its force above the spring's line by more than this share of what the spring gains in a bin. */
const leastExcess = 0.4;

/**
 * Finds the part of the travel over which force rises as a spring's does.
 * @param position_m, force_N n samples over which friction slides
 * @param direction n, 1 into compression and −1 out of it; half of the loop between them is taken out
 * @returns the stretch around the middle local rate in which the rate stays like it; the whole travel where all does
 * Numerical notes: medians in up to forty bins, rates over three of them; a rate counts as different only where the
 *   scatter of its bins cannot explain it.
 */
export function straightPart(
  position_m: Float64Array,
  force_N: Float64Array,
  direction: Float64Array,
): StraightPart {
  const friction_N = halfLoop(position_m, force_N, direction);
  const bins = binned(
    position_m,
    force_N.map((force, i) => force - friction_N * direction[i]),
  );
  const whole: StraightPart = { from_m: null, to_m: null, slack: null, bound: false };
  if (bins.length < 5) return whole;
  const rates = bins.map((_, i) => {
    const [a, b] = [bins[Math.max(0, i - 1)], bins[Math.min(bins.length - 1, i + 1)]];
    const run = b.position_m - a.position_m;
    return { rate: (b.force_N - a.force_N) / run, error: Math.hypot(a.error_N, b.error_N) / run };
  });
  const middle = median(Float64Array.from(rates, ({ rate }) => rate));
  if (!(middle > 0)) return whole;
  const alike = ({ rate, error }: { rate: number; error: number }) =>
    rate + 4 * error > softest * middle && rate - 4 * error < stiffest * middle;
  const start = rates.reduce(
    (best, { rate }, i) => (Math.abs(rate - middle) < Math.abs(rates[best].rate - middle) ? i : best),
    0,
  );
  let [first, last] = [start, start];
  while (first > 0 && alike(rates[first - 1])) first--;
  while (last < bins.length - 1 && alike(rates[last + 1])) last++;
  return {
    from_m: first === 0 ? null : bins[Math.min(first + 1, last)].low_m,
    to_m: last === bins.length - 1 ? null : bins[Math.max(last - 1, first)].high_m,
    slack: slackBefore(bins, first, last, middle),
    bound: last < bins.length - 1 && rates[last + 1].rate > stiffest * middle,
  };
}

/** Force below the stretch where it stays above the line that the stretch begins with; null where there is no such gap. */
function slackBefore(bins: readonly Bin[], first: number, last: number, rate: number): StraightPart['slack'] {
  if (first === 0) return null;
  const begin = bins.slice(first + 1, Math.min(last, first + 5));
  if (begin.length === 0) return null;
  const [a, b] = [begin[0], begin[begin.length - 1]];
  const slope = b.position_m > a.position_m ? (b.force_N - a.force_N) / (b.position_m - a.position_m) : rate;
  const level_N = median(Float64Array.from(begin, (bin) => bin.force_N - slope * bin.position_m));
  const before = bins.slice(0, Math.max(1, first - 1));
  const excess_N = median(Float64Array.from(before, (bin) => bin.force_N - level_N - slope * bin.position_m));
  const width_m = bins[0].high_m - bins[0].low_m;
  const flat = (before[before.length - 1].force_N - before[0].force_N) / (before.length * width_m);
  return excess_N > Math.max(4 * before[0].error_N, leastExcess * slope * width_m) && flat < softest * rate
    ? { force_N: median(Float64Array.from(before, ({ force_N }) => force_N)) }
    : null;
}

interface Bin {
  readonly low_m: number;
  readonly high_m: number;
  readonly position_m: number;
  readonly force_N: number;
  readonly error_N: number;
}

/** Half the median distance between loading and unloading at one place; 0 where one way only was pulled. */
function halfLoop(position_m: Float64Array, force_N: Float64Array, direction: Float64Array): number {
  const [up, down] = [1, -1].map((way) => {
    const at = [...direction.keys()].filter((i) => direction[i] === way);
    const pick = (values: Float64Array) => Float64Array.from(at, (i) => values[i]);
    return at.length > 0 ? binned(pick(position_m), pick(force_N)) : [];
  });
  const loops = up.flatMap((bin) => {
    const other = down.find(({ low_m, high_m }) => bin.position_m >= low_m && bin.position_m < high_m);
    return other ? [(bin.force_N - other.force_N) / 2] : [];
  });
  return loops.length > 0 ? median(Float64Array.from(loops)) : 0;
}

function binned(position_m: Float64Array, force_N: Float64Array): Bin[] {
  const low_m = position_m.reduce((a, b) => Math.min(a, b));
  const high_m = position_m.reduce((a, b) => Math.max(a, b));
  const count = Math.max(3, Math.min(mostBins, Math.floor(position_m.length / samplesPerBin)));
  const width_m = (high_m - low_m) / count;
  const members: number[][] = Array.from({ length: count }, () => []);
  position_m.forEach((x, i) => {
    members[Math.min(count - 1, Math.floor((x - low_m) / width_m))].push(i);
  });
  return members.flatMap((inside, b): Bin[] => {
    if (inside.length === 0) return [];
    const positions = Float64Array.from(inside, (i) => position_m[i]);
    const forces = Float64Array.from(inside, (i) => force_N[i]);
    const force = median(forces);
    const scatter = 1.48 * median(forces.map((f) => Math.abs(f - force)));
    return [
      {
        low_m: low_m + b * width_m,
        high_m: low_m + (b + 1) * width_m,
        position_m: positions.reduce((a, c) => a + c, 0) / inside.length,
        force_N: force,
        error_N: (1.25 * scatter) / Math.sqrt(inside.length),
      },
    ];
  });
}
