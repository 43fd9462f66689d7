import { estimateOf } from '../estimate.js';
import { withoutConverterDelay } from '../intake/in-time.js';
import { readyTrace } from '../intake/ready-trace.js';
import type { AnalysisRefusal } from '../result.js';
import type { RigDescription, Trace } from '../trace.js';
import { pairedSamples, pullBranches } from './branches.js';
import { type PullOutcome, type PullRefusal, type SpringPull, springPull } from './pull.js';

export type RecordedPullOutcome =
  | Extract<PullOutcome, { ok: true }>
  | { readonly ok: false; readonly refusal: PullRefusal | AnalysisRefusal };

/**
 * A lag that nobody has measured lies between 0 and so much; judgement, no source. About no lag its standard
 * uncertainty is that over √3 (rectangular distribution, JCGM 100:2008, 4.3.7).
 */
const longestLag_s = 10e-3;
/** A converter that nobody has declared delays by up to so many of its periods, as one that averages over four does. */
const longestConverter_periods = 2;

/**
 * A spring from a recording of its pull, wild samples left out; see `springPull`.
 * Numerical notes: a late force takes rate·speed·delay off the friction, since the spring's own force lies behind on
 *   the way in and ahead on the way out. The converter's delay and the lag that are known are taken off first; what is
 *   not known of them widens the friction's interval. Rate and preload feel nothing of it, going both ways.
 */
export function recordedPull(trace: Trace): RecordedPullOutcome {
  const outcome = pullInTime(trace);
  if (!outcome.ok || !outcome.pull.friction_N) return outcome;
  const { pull } = outcome;
  const doubt_N = pull.rate_N_per_m.value * pullSpeed_m_per_s(trace) * delayUncertainty_s(trace);
  return { ok: true, pull: { ...pull, friction_N: widened(pull.friction_N!, doubt_N) } };
}

/** The same without the doubt that an unknown delay leaves: for one rig whose delay, whatever it is, stays. */
export function pullInTime(trace: Trace): RecordedPullOutcome {
  const ready = readyTrace(trace);
  if (!ready.ok) return ready;
  const { position_m, force_N } = pairedSamples(withoutConverterDelay(ready.recorded));
  return springPull(position_m, force_N);
}

function delayUncertainty_s({ rig, force: { time_s } }: Trace): number {
  // Found without knowing the converter, a lag holds the converter's delay as well.
  if (rig.lag) return rig.lag.standardUncertainty_s;
  const converter_s = rig.kernel === null ? undeclaredConverter_s(rig, time_s) : 0;
  return Math.hypot(longestLag_s / Math.sqrt(3), converter_s);
}

function undeclaredConverter_s({ conversionPeriod_s }: RigDescription, time_s: Float64Array): number {
  const period_s = conversionPeriod_s ?? (time_s[time_s.length - 1] - time_s[0]) / (time_s.length - 1);
  return (longestConverter_periods * period_s) / Math.sqrt(3);
}

/** Parts of a stroke in which its speed is looked at. */
const parts = 20;

/** Mean speed over the way, so that rests do not count. */
function pullSpeed_m_per_s({ position: { time_s, position_m } }: Trace): number {
  let way_m = 0;
  let swept = 0;
  for (const { from, to } of pullBranches(position_m)) {
    const size = Math.max(1, Math.floor((to - 1 - from) / parts));
    for (let i = from; i + size < to; i += size) {
      const moved_m = Math.abs(position_m[i + size] - position_m[i]);
      way_m += moved_m;
      swept += moved_m ** 2 / (time_s[i + size] - time_s[i]);
    }
  }
  return way_m > 0 ? swept / way_m : 0;
}

/** The part that is not known of a delay has no degrees of freedom to count; it is taken as known. */
function widened({ value, standardError, high95 }: NonNullable<SpringPull['friction_N']>, doubt_N: number) {
  const reach = Math.hypot(high95 - value, estimateOf(0, doubt_N).high95);
  return {
    value,
    standardError: Math.hypot(standardError, doubt_N),
    low95: value - reach,
    high95: value + reach,
  };
}
