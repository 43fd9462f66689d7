import type { AnalysisRefusal } from '../result.js';
import type { Trace } from '../trace.js';
import { type SweepOutcome, type SweepRefusal } from './sweep.js';
export type RecordedSweepOutcome = Extract<SweepOutcome, {
    ok: true;
}> | {
    readonly ok: false;
    readonly refusal: SweepRefusal | AnalysisRefusal;
};
/** Travel and stops from a recording of slow strokes, wild samples left out; see `travelSweep`. */
export declare function recordedSweep(trace: Trace): RecordedSweepOutcome;
