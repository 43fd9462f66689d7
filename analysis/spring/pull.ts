import { estimateOf } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { pullBranches } from './branches.js';
import { meanPart, type PartMean, strokeLine } from './stroke-line.js';

/** A spring, alone or on its shock, as a slow pull shows it. */
export interface SpringPull {
  readonly rate_N_per_m: Estimate;
  /** Force at the smallest position, friction taken out by averaging both ways. */
  readonly preload_N: Estimate;
  /** Half the loop between loading and unloading; null where only one way was pulled. */
  readonly friction_N: Estimate | null;
  /** Rate at the end of the travel less rate at its start, over the mean rate: above 0 for a progressive spring. */
  readonly progression: Estimate;
  /** Root mean square distance from the straight line, friction aside. */
  readonly residual_N: number;
  readonly from_m: number;
  readonly to_m: number;
  readonly strokes: { readonly loading: number; readonly unloading: number };
}

export type PullRefusal = Refusal<
  'too-few-samples' | 'no-travel' | 'unequal-channels' | 'not-finite' | 'force-falls'
>;
export type PullOutcome =
  | { readonly ok: true; readonly pull: SpringPull }
  | { readonly ok: false; readonly refusal: PullRefusal };

const leastSamples = 30;
const leastTravel_m = 0.5e-3;
/**
 * Rate and preload of a spring from a slow pull there and back.
 * @param position_m, force_N n samples each, in order; compression and pushing back positive
 * @returns rate, preload, friction loop and straightness with intervals, or why there is no spring to be seen
 * Numerical notes: a line through each stroke, averaged way by way, so that friction that grows along the travel tilts
 *   the two ways apart and leaves their mean. With several strokes their spread is the uncertainty; with one each way
 *   it is the line's own, for residuals correlated from sample to sample. On a shock the rate includes its gas.
 */
export function springPull(position_m: Float64Array, force_N: Float64Array): PullOutcome {
  const refusal = refusePull(position_m, force_N);
  if (refusal) return { ok: false, refusal };
  const branches = pullBranches(position_m);
  const from_m = position_m.reduce((a, b) => Math.min(a, b));
  const to_m = position_m.reduce((a, b) => Math.max(a, b));
  const middle_m = (from_m + to_m) / 2;
  const half_m = (to_m - from_m) / 2;
  const lines = branches.flatMap((branch) => {
    const line = strokeLine(branch, position_m, force_N, middle_m, half_m);
    return line ? [line] : [];
  });
  const loading = lines.filter(({ direction }) => direction === 1);
  const unloading = lines.filter(({ direction }) => direction === -1);
  const ways = [loading, unloading].filter((way) => way.length > 0);
  if (ways.length === 0)
    return refuse('too-few-samples', 'no stroke with enough samples', 'fifteen samples in a stroke');
  const slope = meanPart(ways, 'slope');
  if (slope.value <= 0)
    return refuse(
      'force-falls',
      `a force that changes by ${(slope.value / half_m / 1e3).toFixed(4)} N/mm`,
      'a force that rises with compression: is a channel reversed?',
    );
  const scaled = ({ value, standardError, degreesOfFreedom }: PartMean, factor: number): Estimate =>
    estimateOf(value * factor, standardError * factor, degreesOfFreedom);
  return {
    ok: true,
    pull: {
      rate_N_per_m: scaled(slope, 1 / half_m),
      preload_N: scaled(meanPart(ways, 'start'), 1),
      friction_N:
        ways.length === 2
          ? scaled(difference(meanPart([loading], 'level'), meanPart([unloading], 'level')), 0.5)
          : null,
      progression: scaled(meanPart(ways, 'bend'), 4 / slope.value),
      residual_N: Math.sqrt(
        lines.reduce((sum, { residualSd_N }) => sum + residualSd_N ** 2, 0) / lines.length,
      ),
      from_m,
      to_m,
      strokes: { loading: loading.length, unloading: unloading.length },
    },
  };
}

const difference = (one: PartMean, other: PartMean): PartMean => ({
  value: one.value - other.value,
  standardError: Math.hypot(one.standardError, other.standardError),
  degreesOfFreedom: Math.min(one.degreesOfFreedom, other.degreesOfFreedom),
});

function refusePull(position_m: Float64Array, force_N: Float64Array): PullRefusal | null {
  const n = position_m.length;
  const make = (code: PullRefusal['code'], found: string, wanted: string): PullRefusal => ({
    code,
    found,
    wanted,
  });
  if (force_N.length !== n)
    return make('unequal-channels', `${n} positions and ${force_N.length} forces`, 'as many of each');
  if (n < leastSamples) return make('too-few-samples', `${n} samples`, `at least ${leastSamples}`);
  if (![...position_m, ...force_N].every(Number.isFinite))
    return make('not-finite', 'a sample that is not a number', 'finite numbers');
  const travel_m = position_m.reduce((a, b) => Math.max(a, b)) - position_m.reduce((a, b) => Math.min(a, b));
  if (travel_m < leastTravel_m)
    return make(
      'no-travel',
      `${(1e3 * travel_m).toFixed(3)} mm of travel`,
      `at least ${1e3 * leastTravel_m} mm`,
    );
  return null;
}

const refuse = (code: PullRefusal['code'], found: string, wanted: string): PullOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});
