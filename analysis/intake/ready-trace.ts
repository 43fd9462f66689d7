import { sampleNoise } from '../identification/sample-noise.js';
import { medianPeriod } from '../identification/samples.js';
import { extent } from '../numerics/summary.js';
import type { AnalysisRefusal } from '../result.js';
import type { Trace } from '../trace.js';
import { sooner } from './in-time.js';
import { shortClock } from './pauses.js';
import { type Channel, withoutGlitches, withoutWildSamples } from './wild-samples.js';

/** A trace that the identification can work on, or why there is none. */
export type Readiness =
  | {
      readonly ok: true;
      /** Without wild samples, the rig's known lag taken off the force, on a clock that begins at 0 and skips pauses. */
      readonly trace: Trace;
      /** The same samples on the recording's own clock. */
      readonly recorded: Trace;
      /** Instants of `trace` on the recording's own clock. */
      restore(time_s: Float64Array): Float64Array;
    }
  | { readonly ok: false; readonly refusal: AnalysisRefusal };

/**
 * A force that jumps by this share of its range and back between three samples is no force: a blow against a stop is
 * several samples long, and one that is not comes so often that it is no accident (none was left out of 24 simulated
 * recordings with stops at 80 and 200 samples/s, down to a tenth of the range).
 */
const wildForce_ranges = 0.3;
/** A shaft has inertia: its position does not jump by a quarter of its travel and back between three samples. */
const wildPosition_ranges = 0.25;
/** Nor does one sample leave its path by so many times the noise: 6.5 at most on 66 simulated recordings. */
const wildPosition_noises = 15;

/** Ten tonnes, and what the lightest cell cannot tell from nothing: outside, the unit of a column is another one. */
const forces_N = [1e-6, 1e5] as const;
/** Ten metres of travel and more are another unit's; too little travel is judged with its noise, later. */
const mostTravel_m = 10;
/** A converter is not faster and a recording that shows a stroke not slower than this. */
const periods_s = [1e-6, 1] as const;
/** Longest recording, pauses left out: eight hours. */
const longest_s = 28_800;

/**
 * Makes a checked recording ready for identification: single wild samples are left out, pauses are shortened, and
 * what no shock on a rig could have given is refused with what was found.
 */
export function readyTrace(trace: Trace): Readiness {
  const force = withoutWildSamples(
    { time_s: sooner(trace.force.time_s, trace.rig.lag?.value_s ?? 0), values: trace.force.force_N },
    wildForce_ranges,
  );
  const position = withoutStrayPositions(
    withoutWildSamples(
      { time_s: trace.position.time_s, values: trace.position.position_m },
      wildPosition_ranges,
    ),
  );
  const refusal = refuseSizes(force, position);
  if (refusal) return { ok: false, refusal };
  const clock = shortClock(force.time_s, position.time_s);
  if (clock.length_s > longest_s)
    return refused('too-long', `${hours(clock.length_s)} h without pauses`, `at most ${hours(longest_s)} h`);
  const { temperature } = trace;
  return {
    ok: true,
    trace: {
      ...trace,
      force: { time_s: clock.shorten(force.time_s), force_N: force.values },
      position: { time_s: clock.shorten(position.time_s), position_m: position.values },
      temperature: { ...temperature, time_s: clock.shorten(temperature.time_s) },
    },
    recorded: {
      ...trace,
      force: { time_s: force.time_s, force_N: force.values },
      position: { time_s: position.time_s, position_m: position.values },
    },
    restore: clock.restore,
  };
}

/** Leaves out single positions off their path; too few samples tell nothing of their noise. */
function withoutStrayPositions(position: Channel): Channel {
  const { time_s, values } = position;
  return values.length < 8
    ? position
    : withoutGlitches(position, wildPosition_noises * sampleNoise(time_s, values));
}

function refuseSizes(force: Channel, position: Channel): AnalysisRefusal | null {
  const [lowest_N, highest_N] = extent(force.values);
  const largest_N = Math.max(-lowest_N, highest_N);
  if (largest_N > forces_N[1])
    return refusal('out-of-range', `a force of ${brief(largest_N)} N`, 'forces of a small shock, in newtons');
  if (highest_N - lowest_N > 0 && highest_N - lowest_N < forces_N[0])
    return refusal(
      'constant-force',
      `force varies by ${brief(highest_N - lowest_N)} N`,
      'a force that varies',
    );
  const [low_m, high_m] = extent(position.values);
  if (high_m - low_m > mostTravel_m)
    return refusal('out-of-range', `a travel of ${brief(high_m - low_m)} m`, 'the travel of a small shock');
  for (const [name, { time_s }] of [
    ['force', force],
    ['position', position],
  ] as const) {
    if (time_s.length < 3) continue;
    const period_s = medianPeriod(time_s);
    if (period_s < periods_s[0] || period_s > periods_s[1])
      return refusal(
        'out-of-range',
        `${name} samples ${brief(period_s)} s apart`,
        `${brief(periods_s[0])} to ${brief(periods_s[1])} s; is the unit of time right?`,
      );
  }
  const from_s = Math.max(force.time_s[0], position.time_s[0]);
  const to_s = Math.min(force.time_s[force.time_s.length - 1], position.time_s[position.time_s.length - 1]);
  if (from_s > to_s)
    return refusal(
      'no-overlap',
      `${span('force', force)}, ${span('position', position)}`,
      'both on one clock',
    );
  return null;
}

const refusal = (code: AnalysisRefusal['code'], found: string, wanted: string): AnalysisRefusal => ({
  code,
  found,
  wanted,
});

const refused = (...parts: Parameters<typeof refusal>): Readiness => ({
  ok: false,
  refusal: refusal(...parts),
});

const brief = (value: number): string => String(Number(value.toPrecision(3)));
const hours = (time_s: number): string => brief(time_s / 3600);
const span = (name: string, { time_s }: Channel): string =>
  `${name} from ${Number(time_s[0].toFixed(3))} to ${Number(time_s[time_s.length - 1].toFixed(3))} s`;
