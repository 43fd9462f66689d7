import { extent } from '../numerics/summary.js';

/** Share of the force's range in which values compete with the extreme one. */
const neighbourhood = 0.02;
/** Samples at the extreme, at least; as many times the commonest value beside it; and a run of so many. */
const fewest = 5;
const outnumbering = 3;
const fewestInRow = 3;
/** Share of all samples above which an extreme with nothing beside it is a limit, too: no stroke dwells there so long. */
const mostAlone = 0.3;
/** An extreme nearer to no force than this share of the range is a free mount and not a limit. */
const leastOfRange = 0.25;

/**
 * The limit that an undeclared converter ran into on one side, seen in its values: the most extreme one comes again and
 * again, far oftener than any single value beside it, and several times in a row. Noise spreads an honest extreme.
 * @param force_N n samples; quantised coarser than a fiftieth of their range they show one only if a third lie there
 * @param sign 1 for the largest value, −1 for the smallest
 * @returns the limit, or null where there is none
 */
export function clippingLimit(force_N: Float64Array, sign: 1 | -1): number | null {
  const [low_N, high_N] = extent(force_N);
  const range = high_N - low_N;
  const extreme = sign === 1 ? high_N : -low_N;
  if (!(range > 0) || extreme < leastOfRange * range) return null;
  let atExtreme = 0;
  let row = 0;
  let longestRow = 0;
  const beside = new Map<number, number>();
  const near = extreme - neighbourhood * range;
  for (let i = 0; i < force_N.length; i++) {
    const value = sign * force_N[i];
    row = value === extreme ? row + 1 : 0;
    if (!(value > near)) continue;
    longestRow = Math.max(longestRow, row);
    if (value === extreme) atExtreme++;
    else beside.set(value, (beside.get(value) ?? 0) + 1);
  }
  if (atExtreme < fewest || longestRow < fewestInRow) return null;
  let commonest = 0;
  for (const count of beside.values()) commonest = Math.max(commonest, count);
  const many = commonest > 0 ? atExtreme >= outnumbering * commonest : atExtreme > mostAlone * force_N.length;
  return many ? sign * extreme : null;
}
