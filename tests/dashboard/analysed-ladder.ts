import { analyzeRecording, makeTrace, type RecordingAnalysis } from '../../analysis/index.js';
import { readTraceCsv } from '../../daq/index.js';
import { type LadderOptions, ladderCsv } from './ladder-csv.js';

/** The analysis of a ladder whose truth is known, as the commands would make it. */
export async function analysedLadder(options: LadderOptions): Promise<RecordingAnalysis> {
  const bytes = new TextEncoder().encode(ladderCsv(options));
  const made = makeTrace((await readTraceCsv({ name: 'ladder.csv', bytes })).trace);
  if (!made.ok) throw new Error(made.refusal.found);
  const outcome = analyzeRecording(made.trace);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.analysis;
}
