import { averagingsOf } from '../identification/converter-kernel.js';
import type { Estimate } from '../result.js';
import { pairedSamples } from '../spring/branches.js';
import { type PullRefusal, springPull } from '../spring/pull.js';
import type { Trace } from '../trace.js';

/** What one slow run over a check standard, a spring with a friction block, shows. */
export interface CheckReading {
  readonly rate_N_per_mm: Estimate;
  readonly friction_N: Estimate;
}

export type CheckReadingOutcome =
  | { readonly ok: true; readonly reading: CheckReading }
  | {
      readonly ok: false;
      readonly refusal:
        | PullRefusal
        | { readonly code: 'one-way'; readonly found: string; readonly wanted: string };
    };

/**
 * Reads rate and drag of a check standard from a slow run, both ways.
 * @param lag_s of the force beyond the converter's own delay, where it is known
 * Numerical notes: a late force takes rate·speed·delay off the drag, 0.08 N of it on 640 N/m at 19 mm/s and 6.25 ms,
 *   so the force is put back in time by the converter's running means and the lag before anything is fitted.
 */
export function readCheckStandard(trace: Trace, lag_s = 0): CheckReadingOutcome {
  const { position_m, force_N } = pairedSamples(inTime(trace, lag_s));
  const outcome = springPull(position_m, force_N);
  if (!outcome.ok) return outcome;
  const { rate_N_per_m, friction_N } = outcome.pull;
  if (!friction_N)
    return {
      ok: false,
      refusal: { code: 'one-way', found: 'strokes one way only', wanted: 'whole cycles, in and out' },
    };
  const perMm = (value: number) => value / 1000;
  return {
    ok: true,
    reading: {
      rate_N_per_mm: {
        value: perMm(rate_N_per_m.value),
        standardError: perMm(rate_N_per_m.standardError),
        low95: perMm(rate_N_per_m.low95),
        high95: perMm(rate_N_per_m.high95),
      },
      friction_N,
    },
  };
}

function inTime(trace: Trace, lag_s: number): Trace {
  const { kernel, conversionPeriod_s } = trace.rig;
  const converter_s = kernel === null ? 0 : (averagingsOf[kernel] * (conversionPeriod_s ?? 0)) / 2;
  const time_s = trace.force.time_s.map((t) => t - converter_s - lag_s);
  return { ...trace, force: { time_s, force_N: trace.force.force_N } };
}
