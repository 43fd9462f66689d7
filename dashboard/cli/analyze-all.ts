import type { RecordingAnalysis } from '../../analysis/index.js';
import { analyzeInOrder } from './analysis-pool.js';
import { analysisProgress } from './analysis-progress.js';
import { CommandFailure, exitStatus } from './failure.js';
import { resolveSources } from './resolve-sources.js';

/**
 * Analyses groups of FILE arguments, all of which have to be usable.
 * @returns the analyses of each group, in the order given
 * @throws CommandFailure naming the first that is not
 */
export async function analyzeAll(
  groups: readonly (readonly string[])[],
  logbook: string,
): Promise<RecordingAnalysis[][]> {
  const resolved = await Promise.all(groups.map((group) => resolveSources(group, logbook)));
  const sources = resolved.map((entries) =>
    entries.flatMap((entry) => {
      if (!entry.ok) throw new CommandFailure(exitStatus.badInput, entry.error);
      return entry.sources;
    }),
  );
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
  return sources.map((group) => analyses.splice(0, group.length));
}
