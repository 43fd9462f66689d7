import type { AnalysisRefusal } from '../result.js';
import type { Trace } from '../trace.js';
import { type PullOutcome, type PullRefusal } from './pull.js';
export type RecordedPullOutcome = Extract<PullOutcome, {
    ok: true;
}> | {
    readonly ok: false;
    readonly refusal: PullRefusal | AnalysisRefusal;
};
/** A spring from a recording of its pull, wild samples left out; see `springPull`. */
export declare function recordedPull(trace: Trace): RecordedPullOutcome;
