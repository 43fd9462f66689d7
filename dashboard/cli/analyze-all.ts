import type { KnownSpread, RecordingAnalysis } from '../../analysis/index.js';
import { analyzeInOrder } from './analysis-pool.js';
import { analysisProgress } from './analysis-progress.js';
import { CommandFailure, exitStatus } from './failure.js';
import { resolveIn, withLogbookOf } from './resolve-sources.js';
import { spreadBeside } from './rig-spread.js';
import type { Source } from './source.js';

/** Groups of recordings that are seen together. */
export interface AnalysedGroups {
  readonly sources: readonly (readonly Source[])[];
  /** Of each group, in the order given. */
  readonly analyses: RecordingAnalysis[][];
  /** What the rig that made all of them has learnt of remounts. */
  readonly known: KnownSpread | undefined;
}

/**
 * Analyses groups of FILE arguments, all of which have to be usable.
 * @throws CommandFailure naming the first that is not
 */
export async function analyzeTogether(
  groups: readonly (readonly string[])[],
  logbookPath: string,
): Promise<AnalysedGroups> {
  const { sources, known } = await withLogbookOf(groups.flat(), logbookPath, (logbook) => {
    const sources = groups.map((group) =>
      resolveIn(logbook, group, logbookPath).flatMap((entry) => {
        if (!entry.ok) throw new CommandFailure(exitStatus.badInput, entry.error);
        return entry.sources;
      }),
    );
    return { sources, known: spreadBeside(logbook, sources.flat()) };
  });
  const flat = sources.flat();
  const progress = analysisProgress(flat);
  const analyses: RecordingAnalysis[] = [];
  try {
    for await (const result of analyzeInOrder(flat, progress.onShare)) {
      if (!result.ok) throw new CommandFailure(exitStatus.badInput, result.error);
      analyses.push(result.analysis);
    }
  } finally {
    progress.end();
  }
  return { sources, analyses: sources.map((group) => analyses.splice(0, group.length)), known };
}

/** The analyses alone, where nothing hangs on what the rig has learnt. */
export const analyzeAll = async (
  groups: readonly (readonly string[])[],
  logbookPath: string,
): Promise<RecordingAnalysis[][]> => (await analyzeTogether(groups, logbookPath)).analyses;
