import {
  type Direction,
  type Estimate,
  estimateOf,
  pooledSpread,
  type SlowSweep,
} from '../../analysis/index.js';

/** What a start takes beyond the drag that the stroke then slides at, after the shaft has stood. */
export interface StandingStart {
  readonly stood_s: number;
  readonly direction: Direction;
  readonly excess_N: number;
  /** What it takes more than starts in the same direction and at the same speed without standing. */
  readonly more_N: Estimate;
}

type Start = SlowSweep['starts'][number];

/** A shaft that stood for so long has stood; one that turned round within the other has not. */
const stood_s = 0.5;
const turned_s = 0.3;
/** Speeds that differ by more are different steps of a sweep, or a stroke in which the step changed. */
const alike = 1.1;

/**
 * Whether a seal sticks when it has stood: starts of a slow sweep after the shaft stood, against those without.
 * @returns the shortest stand first; empty where none stood, or nothing is there to hold them against
 * Numerical notes: one start has the scatter of those without standing, pooled over directions and speeds; the interval
 *   is that of one value against the mean of n.
 */
export function standingStarts({ starts }: SlowSweep): StandingStart[] {
  const groups = alikeStarts(starts.filter(({ dwell_s }) => dwell_s < turned_s));
  const spread = pooledSpread(groups.map((group) => group.map(({ excess_N }) => excess_N)));
  if (!spread) return [];
  return starts
    .filter(({ dwell_s }) => dwell_s >= stood_s)
    .flatMap((start) => {
      const beside = groups.find((group) => isAlike(group[0]!, start));
      if (!beside) return [];
      const usual_N = beside.reduce((sum, { excess_N }) => sum + excess_N, 0) / beside.length;
      const standardError = spread.standardDeviation * Math.sqrt(1 + 1 / beside.length);
      return [
        {
          stood_s: start.dwell_s,
          direction: start.direction,
          excess_N: start.excess_N,
          more_N: estimateOf(start.excess_N - usual_N, standardError, spread.degreesOfFreedom),
        },
      ];
    })
    .sort((a, b) => a.stood_s - b.stood_s);
}

const isAlike = (a: Start, b: Start): boolean =>
  a.direction === b.direction &&
  Math.max(a.velocity_mm_per_s, b.velocity_mm_per_s) <
    alike * Math.min(a.velocity_mm_per_s, b.velocity_mm_per_s);

/** By direction and speed. */
function alikeStarts(starts: readonly Start[]): Start[][] {
  const groups: Start[][] = [];
  for (const start of starts) {
    const group = groups.find(([first]) => isAlike(first!, start));
    if (group) group.push(start);
    else groups.push([start]);
  }
  return groups;
}
