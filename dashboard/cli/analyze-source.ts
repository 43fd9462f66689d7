import {
  type AnalysisRefusal,
  analyzeRecording,
  makeTrace,
  type RecordingAnalysis,
} from '../../analysis/index.js';
import { refusalSentence } from '../wording/index.js';
import { exitStatus } from './failure.js';
import { readSource } from './read-source.js';
import { reportOf } from './report-error.js';
import type { Source } from './source.js';

/** What came of one recording; plain data, so that it can cross between threads. */
export type SourceResult =
  | { readonly ok: true; readonly analysis: RecordingAnalysis }
  | { readonly ok: false; readonly error: string };

/** Reads and analyses one recording; bad input is a value here, a fault of the program is thrown. */
export async function analyzeSource(source: Source): Promise<SourceResult> {
  const read = await readSource(source).catch((error: unknown) => {
    const report = reportOf(error);
    if (report.status === exitStatus.fault) throw error;
    return report.line;
  });
  if (typeof read === 'string') return { ok: false, error: read };
  const made = makeTrace(read);
  if (!made.ok) return refused(source, made.refusal);
  const outcome = analyzeRecording(made.trace);
  return outcome.ok ? { ok: true, analysis: outcome.analysis } : refused(source, outcome.refusal);
}

function refused({ label }: Source, refusal: AnalysisRefusal): SourceResult {
  return { ok: false, error: `${label}: ${refusalSentence(refusal)}` };
}
