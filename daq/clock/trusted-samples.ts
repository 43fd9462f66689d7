/** Longest step between neighbours, in periods of the channel, that is not a gap. */
const GAP_PERIODS = 1.5;

/** Fewest steps from which a channel's own pace is taken instead of the pace it declares. */
const MIN_STEPS_FOR_PACE = 16;

export interface TrustedSamples {
  /** Indices into the channel of the samples to use, increasing. */
  readonly indices: Int32Array;
  /** Samples that should have been in the gaps. */
  readonly missing: number;
  /** Samples left out because a gap followed. */
  readonly doubted: number;
  /** Samples left out because their time did not increase. */
  readonly disordered: number;
  /** Mean step, gaps left out; the declared period where there are too few steps; NaN without either. */
  readonly period_us: number;
}

/**
 * Decides which samples of a channel to use. A step longer than 1.5 periods is a gap.
 * @param times_us device times in order of arrival, any origin
 * @param doubtBeforeGap leave out the sample before a gap. For a two-wire load-cell converter: its clock line
 *   held high for over 60 µs in mid-read powers it down, which gives a plausible but wrong number with a valid
 *   checksum, then four conversions of silence; the step in time is the only sign of it.
 * @param declaredPeriod_us what the rig says, or NaN. Used only below 16 steps: oscillators inside converters
 *   are some per cent off, and a jumper may set another rate than the firmware believes.
 * @remarks the period is the mean of the steps up to 1.5 medians, so it needs more than half of them regular
 */
export function trustedSamples(
  times_us: Float64Array,
  doubtBeforeGap: boolean,
  declaredPeriod_us: number,
): TrustedSamples {
  const increasing = increasingIndices(times_us);
  const period_us = ownPeriod(times_us, increasing) ?? declaredPeriod_us;
  const kept = new Int32Array(increasing.length);
  let count = 0;
  let missing = 0;
  let doubted = 0;
  for (let n = 0; n < increasing.length; n++) {
    const index = increasing[n]!;
    const step = n === 0 ? 0 : times_us[index]! - times_us[increasing[n - 1]!]!;
    if (step > GAP_PERIODS * period_us) {
      missing += Math.max(1, Math.round(step / period_us) - 1);
      if (doubtBeforeGap) {
        doubted++;
        count--;
      }
    }
    kept[count++] = index;
  }
  const disordered = times_us.length - increasing.length;
  return { indices: kept.slice(0, count), missing, doubted, disordered, period_us };
}

function increasingIndices(times_us: Float64Array): Int32Array {
  const indices = new Int32Array(times_us.length);
  let count = 0;
  let latest = -Infinity;
  for (let i = 0; i < times_us.length; i++) {
    if (!(times_us[i]! > latest)) continue;
    latest = times_us[i]!;
    indices[count++] = i;
  }
  return indices.subarray(0, count);
}

function ownPeriod(times_us: Float64Array, indices: Int32Array): number | undefined {
  if (indices.length <= MIN_STEPS_FOR_PACE) return undefined;
  const steps = new Float64Array(indices.length - 1);
  for (let i = 0; i < steps.length; i++) steps[i] = times_us[indices[i + 1]!]! - times_us[indices[i]!]!;
  const limit = GAP_PERIODS * steps.toSorted()[steps.length >> 1]!;
  let sum = 0;
  let count = 0;
  for (let i = 0; i < steps.length; i++) {
    if (steps[i]! > limit) continue;
    sum += steps[i]!;
    count++;
  }
  return sum / count;
}
