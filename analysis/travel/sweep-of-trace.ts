import { readyTrace } from '../intake/ready-trace.js';
import type { AnalysisRefusal } from '../result.js';
import { pairedSamples } from '../spring/branches.js';
import type { Trace } from '../trace.js';
import { type SweepOutcome, type SweepRefusal, travelSweep } from './sweep.js';

export type RecordedSweepOutcome =
  | Extract<SweepOutcome, { ok: true }>
  | { readonly ok: false; readonly refusal: SweepRefusal | AnalysisRefusal };

/** Travel and stops from a recording of slow strokes, wild samples left out; see `travelSweep`. */
export function recordedSweep(trace: Trace): RecordedSweepOutcome {
  const ready = readyTrace(trace);
  if (!ready.ok) return ready;
  const { position_m, force_N } = pairedSamples(ready.recorded);
  return travelSweep(position_m, force_N);
}
