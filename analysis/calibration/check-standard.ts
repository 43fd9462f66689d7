import type { AnalysisRefusal, Estimate } from '../result.js';
import type { PullRefusal } from '../spring/pull.js';
import { pullInTime } from '../spring/pull-of-trace.js';
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
        | AnalysisRefusal
        | { readonly code: 'one-way'; readonly found: string; readonly wanted: string };
    };

/**
 * Reads rate and drag of a check standard from a slow run, both ways.
 * Numerical notes: a late force takes rate·speed·delay off the drag, 0.08 N of it on 640 N/m at 19 mm/s and 6.25 ms,
 *   so the force is put back in time by the converter's running means and the known lag before anything is fitted.
 *   What is not known of the lag is the same in every sitting and is in no interval here.
 */
export function readCheckStandard(trace: Trace): CheckReadingOutcome {
  const outcome = pullInTime(trace);
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
