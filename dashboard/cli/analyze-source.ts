import {
  type AnalysisOutcome,
  type AnalysisProgress,
  type AnalysisRefusal,
  analyzeRecording,
  makeTrace,
  type RecordingAnalysis,
  type TraceInput,
} from '../../analysis/index.js';
import { refusalSentence } from '../wording/index.js';
import { exitStatus, outOfMemory } from './failure.js';
import { readSource } from './read-source.js';
import { reportOf } from './report-error.js';
import type { Source } from './source.js';

/** What came of one recording; plain data, so that it can cross between threads. */
export type SourceResult =
  | { readonly ok: true; readonly analysis: RecordingAnalysis }
  | { readonly ok: false; readonly error: string };

/** Reads and analyses one recording; bad input is a value here, a fault of the program is thrown. */
export async function analyzeSource(source: Source, progress?: AnalysisProgress): Promise<SourceResult> {
  const read = await readSource(source).catch((error: unknown) => {
    const report = reportOf(error);
    if (report.status === exitStatus.fault) throw error;
    return report.line;
  });
  if (typeof read === 'string') return { ok: false, error: read };
  try {
    const outcome = analyse(read, progress);
    return outcome.ok ? { ok: true, analysis: outcome.analysis } : refused(source, outcome.refusal);
  } catch (error) {
    if (isOutOfMemory(error)) return { ok: false, error: outOfMemory(source.label) };
    throw error;
  }
}

function analyse(input: TraceInput, progress?: AnalysisProgress): AnalysisOutcome {
  const made = makeTrace(input);
  return made.ok ? analyzeRecording(made.trace, progress) : made;
}

/** V8 has no code for it, only words. */
function isOutOfMemory(error: unknown): boolean {
  return (
    error instanceof RangeError && /allocation failed|Invalid (typed )?array length/i.test(error.message)
  );
}

function refused({ label }: Source, refusal: AnalysisRefusal): SourceResult {
  return { ok: false, error: `${label}: ${refusalSentence(refusal)}` };
}
