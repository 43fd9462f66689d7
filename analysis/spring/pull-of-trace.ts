import { readyTrace } from '../intake/ready-trace.js';
import type { AnalysisRefusal } from '../result.js';
import type { Trace } from '../trace.js';
import { pairedSamples } from './branches.js';
import { type PullOutcome, type PullRefusal, springPull } from './pull.js';

export type RecordedPullOutcome =
  | Extract<PullOutcome, { ok: true }>
  | { readonly ok: false; readonly refusal: PullRefusal | AnalysisRefusal };

/** A spring from a recording of its pull, wild samples left out; see `springPull`. */
export function recordedPull(trace: Trace): RecordedPullOutcome {
  const ready = readyTrace(trace);
  if (!ready.ok) return ready;
  const { position_m, force_N } = pairedSamples(ready.recorded);
  return springPull(position_m, force_N);
}
