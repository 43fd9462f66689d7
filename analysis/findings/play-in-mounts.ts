import { median, slopeOf } from '../numerics/summary.js';
import type { Criterion, FittedSamples } from './evidence.js';
import { warning } from './finding.js';

/** Half-width of the band round no force: four times the noise of a sample, and this share of the drag. */
const noises = 4;
const shareOfDrag = 0.08;
/** The cell's zero may be off by this share of the drag; it is looked for in steps of a tenth. */
const zeroSteps = [-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3] as const;
/** Least play that is told, and least travel on which no force followed a reversal, m. */
const leastPlay_m = 0.06e-3;
const leastReversal_m = 0.02e-3;
/** No eye is so loose, m: a longer flat place is drag that gas holds near zero. */
const mostPlay_m = 1.5e-3;
/** Share of the band that the force may drift through on a flat place. */
const mostDrift = 0.3;
/** Flat places on the way up and down, at least, of a kind that shows alone, and reversals. */
const fewest = { both: 2, alone: 3, turned: 2 } as const;
/**
 * Flat places are judged together whose samples lie no further apart than this, m: slow ones tell a small play, and
 * where gas holds the mounts together at low speed, quicker ones a large one.
 */
const spacings_m = [0.05e-3, 0.1e-3, 0.25e-3] as const;
const widest_m = Math.max(...spacings_m);
const longestGap_s = 0.2;
/** Fewer samples in the band do not tell a flat place from a quick passage. */
const fewestInside = 3;

/** One stay of the force in the band. */
interface Stay {
  readonly kind: 'up' | 'down' | 'turned in' | 'turned out';
  /** Travel of the drive, m; where it turned in the band, from there on. */
  readonly travel_m: number;
  /** Beyond the travel through the next bands of the same width; where it turned, through the one after it. */
  readonly excess_m: number;
  /** Numbers of the samples it is made of, the second exclusive. */
  readonly first: number;
  readonly end: number;
  /** Between the last two samples. */
  readonly spacing_m: number;
}

/**
 * Play in a mount: the drive moves some way while the cell feels nothing. Two things show it. Where the force changes
 * sign, it stays within a narrow band round no force for longer than in the bands of the same width on either side,
 * and does not drift through it. And the drive turns round in that band without the seal's drag turning round with
 * it, as where gas keeps the shock pushing and a quick rebound loses touch. Air in the oil delays damping but leaves
 * drag alone; gas, a spring and drag are flat only as long as a stroke, or beside a force that changes slowly.
 * A shock whose gas holds its mounts together at every sampled speed shows no play, and has none that matters.
 */
export const playInMounts: Criterion = ({ samples, analysis, identification }) => {
  const drag_N = Math.abs(analysis.friction.mean_N?.value ?? 0);
  const half_N = Math.max(noises * samples.noise_N, shareOfDrag * drag_N);
  const touches = identification.problem.features.stopSide !== null;
  let play_m = 0;
  const nearZero = samplesNear(samples.force_N, half_N + Math.max(...zeroSteps) * drag_N);
  for (const step of zeroSteps) {
    const all = staysWithin(samples, nearZero, step * drag_N, half_N);
    for (const spacing_m of spacings_m) {
      const near = all.filter((stay) => stay.spacing_m < spacing_m);
      if (near.length === 0) continue;
      const flat = (kind: Stay['kind'], least: number, least_m: number) =>
        flatTravel(
          near.filter((stay) => stay.kind === kind),
          least,
          least_m,
          (stay) => driftOf(stay, samples) / (2 * half_N),
        );
      const each = (least: number) => [flat('up', least, leastPlay_m), flat('down', least, leastPlay_m)];
      play_m = Math.max(play_m, Math.min(...each(fewest.both)));
      // Away from the cell's own zero, or where an end is touched, flat places both ways have to agree.
      if (step !== 0 || touches) continue;
      const turned = (['turned in', 'turned out'] as const).map((kind) =>
        flat(kind, fewest.turned, leastReversal_m),
      );
      play_m = Math.max(play_m, ...each(fewest.alone), ...turned);
    }
  }
  return play_m > 0 ? warning('play-in-mounts', { play_mm: 1e3 * play_m }) : null;
};

/**
 * Excess travel of the typical of these stays, where it is flat and long enough; else 0.
 * @param drift change of the force in a stay, in widths of the band
 */
function flatTravel(
  stays: readonly Stay[],
  least: number,
  least_m: number,
  drift: (stay: Stay) => number,
): number {
  if (stays.length < least) return 0;
  const typical = (of: (stay: Stay) => number) => median(Float64Array.from(stays, of));
  const excess_m = typical((stay) => stay.excess_m);
  if (!(excess_m > least_m)) return 0;
  const isFlat = typical(drift) < mostDrift && typical((stay) => stay.travel_m) < mostPlay_m;
  return isFlat ? excess_m : 0;
}

/** Numbers of the samples, the first left out, whose force is no further from none. */
function samplesNear(force_N: Float64Array, most_N: number): Int32Array {
  const near = new Int32Array(force_N.length);
  let n = 0;
  for (let i = 1; i < force_N.length; i++) if (Math.abs(force_N[i]) <= most_N) near[n++] = i;
  return near.subarray(0, n);
}

/**
 * Stays of the force in a band, left slowly enough; one in which it crossed the band and the drive turned as well is
 * there twice.
 * @param nearZero numbers of the samples among which the band's are, ascending
 */
function staysWithin(samples: FittedSamples, nearZero: Int32Array, zero_N: number, half_N: number): Stay[] {
  const { time_s, position_m, velocity_m_per_s, force_N, stroke, period_s } = samples;
  const n = force_N.length;
  const stays: Stay[] = [];
  const step_m = (i: number) => Math.abs(position_m[i] - position_m[i - 1]);
  /** Travel from sample `i` on, one way or the other, while the force is in the next band on a side of this one. */
  const travelBeside = (i: number, way: 1 | -1, side: number) => {
    let travel_m = 0;
    for (; i > 0 && i < n - 1; i += way) {
      const beyond_N = side * (force_N[i] - zero_N);
      if (!(beyond_N > half_N && beyond_N <= 3 * half_N)) break;
      travel_m += step_m(way > 0 ? i + 1 : i);
    }
    return travel_m;
  };
  let to = 0;
  for (let k = 0; k < nearZero.length; k++) {
    const from = nearZero[k];
    if (from < to || Math.abs(force_N[from] - zero_N) > half_N) continue;
    to = from;
    let travel_m = 0;
    let turned = -1;
    let gap = time_s[from] - time_s[from - 1] > longestGap_s;
    while (to < n && Math.abs(force_N[to] - zero_N) <= half_N) {
      if (to > from) travel_m += step_m(to);
      if (to > from && stroke[to] !== stroke[to - 1]) turned = to;
      to++;
      gap ||= to < n && time_s[to] - time_s[to - 1] > longestGap_s;
    }
    if (to === n || gap) continue;
    const spacing_m = Math.abs(velocity_m_per_s[to]) * period_s;
    if (!(spacing_m < widest_m)) continue;
    const entered = Math.sign(force_N[from - 1] - zero_N);
    const left = Math.sign(force_N[to] - zero_N);
    const after_m = travelBeside(to, 1, left);
    if (entered !== left && to - from >= fewestInside)
      stays.push({
        kind: left > 0 ? 'up' : 'down',
        travel_m,
        excess_m: travel_m - Math.max(after_m, travelBeside(from - 1, -1, entered)),
        first: from,
        end: to,
        spacing_m,
      });
    if (turned < 0) continue;
    const turned_m = Math.abs(position_m[to - 1] - position_m[turned]);
    stays.push({
      kind: velocity_m_per_s[to] > 0 ? 'turned in' : 'turned out',
      travel_m: turned_m,
      excess_m: turned_m - after_m,
      first: turned,
      end: to,
      spacing_m,
    });
  }
  return stays;
}

/** Change of the force along its straight line over the drive's travel, without its sign; at rest nothing drifts. */
function driftOf({ first, end }: Stay, { force_N, position_m }: FittedSamples): number {
  const n = end - first;
  const along_m = new Float64Array(n);
  for (let i = 1; i < n; i++)
    along_m[i] = along_m[i - 1] + Math.abs(position_m[first + i] - position_m[first + i - 1]);
  if (!(along_m[n - 1] > 0)) return 0;
  return Math.abs(slopeOf(along_m, force_N.subarray(first, end)) * along_m[n - 1]);
}
