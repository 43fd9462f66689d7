import { medianPeriod } from '../identification/samples.js';
import { median } from '../numerics/summary.js';
import type { Criterion, FittedSamples } from './evidence.js';
import { warning } from './finding.js';

/** Half-width of the band round no force: four times the noise of a sample, and this share of the drag. */
const noises = 4;
const shareOfDrag = 0.08;
/** The cell's zero may be off by this share of the drag; it is looked for in steps of a tenth. */
const zeroSteps = [-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3] as const;
/** Least play that is told, m. */
const leastPlay_m = 0.06e-3;
const fewestCrossings = 2;
/**
 * Passages are judged together whose samples lie no further apart than this, m: slow ones tell a small play, and where
 * gas holds the mounts together at low speed, quicker ones a large one.
 */
const spacings_m = [0.05e-3, 0.1e-3, 0.25e-3] as const;
const longestGap_s = 0.2;
/** Fewer samples in the band do not tell a flat place from a quick passage. */
const fewestInside = 3;

/** One passage of the force through a band, from one side to the other. */
interface Passage {
  readonly at: number;
  readonly direction: 1 | -1;
  /** Travel while the force was inside, where enough samples saw it; else 0. */
  readonly travel_m: number;
}

/**
 * Play in a mount: whenever the force changes sign, the drive moves some way while the cell feels nothing. Seen as
 * travel in a narrow band round no force, beyond the travel in the bands of the same width above and below it, upwards
 * and downwards. Air in the oil delays damping but leaves drag alone, so that at slow speed the
 * force passes through zero at once; gas, a spring and drag have no flat place at the same force both ways.
 * A shock whose gas holds its mounts together at every sampled speed shows no play, and has none that matters.
 */
export const playInMounts: Criterion = ({ samples, analysis }) => {
  const drag_N = Math.abs(analysis.friction.mean_N?.value ?? 0);
  const half_N = Math.max(noises * samples.noise_N, shareOfDrag * drag_N);
  const period_s = medianPeriod(samples.time_s);
  let play_m = 0;
  for (const step of zeroSteps) {
    const zero_N = step * drag_N;
    const within = passages(samples, zero_N - half_N, zero_N + half_N);
    const below = passages(samples, zero_N - 3 * half_N, zero_N - half_N);
    const above = passages(samples, zero_N + half_N, zero_N + 3 * half_N);
    const judged = within.map(({ at, direction, travel_m }) => ({
      direction,
      spacing_m: Math.abs(samples.velocity_m_per_s[at]) * period_s,
      excess_m: travel_m - Math.max(nearest(below, at), nearest(above, at)),
    }));
    for (const spacing_m of spacings_m) {
      const near = judged.filter((passage) => passage.spacing_m < spacing_m);
      const excess = (direction: 1 | -1) =>
        near.filter((passage) => passage.direction === direction).map(({ excess_m }) => excess_m);
      const up = excess(1);
      const down = excess(-1);
      if (up.length < fewestCrossings || down.length < fewestCrossings) continue;
      play_m = Math.max(play_m, Math.min(middle(up), middle(down)));
    }
  }
  return play_m > leastPlay_m ? warning('play-in-mounts', { play_mm: 1e3 * play_m }) : null;
};

const middle = (values: readonly number[]) => median(Float64Array.from(values));

/** Every passage of the force through a band, in order of time; a gap between samples ends what went before. */
function passages({ time_s, position_m, force_N }: FittedSamples, low_N: number, high_N: number): Passage[] {
  const found: Passage[] = [];
  let from = 0;
  let inside = 0;
  let travel_m = 0;
  for (let i = 0; i < force_N.length; i++) {
    const side = force_N[i] < low_N ? -1 : force_N[i] > high_N ? 1 : 0;
    if (i > 0 && time_s[i] - time_s[i - 1] > longestGap_s) from = 0;
    if (side === 0) {
      travel_m = inside > 0 ? travel_m + Math.abs(position_m[i] - position_m[i - 1]) : 0;
      inside++;
      continue;
    }
    if (from !== 0 && side !== from)
      found.push({ at: i, direction: side, travel_m: inside >= fewestInside ? travel_m : 0 });
    from = side;
    inside = 0;
  }
  return found;
}

/** Travel of the passage nearest to a sample; none counts as endless, so that nothing is concluded without it. */
function nearest(list: readonly Passage[], at: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const centre = (low + high) >> 1;
    if (list[centre].at < at) low = centre + 1;
    else high = centre;
  }
  const after = list[low];
  const before = list[low - 1];
  if (!after && !before) return Number.POSITIVE_INFINITY;
  const takeAfter = after && (!before || after.at - at < at - before.at);
  return (takeAfter ? after : before).travel_m;
}
