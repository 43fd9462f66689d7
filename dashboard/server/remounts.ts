import type { RecordingAnalysis } from '../../analysis/index.js';
import type { BuildId, Logbook, Recording, RecordingId } from '../../daq/index.js';
import { analysedRemounts, countedRemounts, type LearntSpread } from '../answers/index.js';
import type { AnalysisCache } from './analysis-cache.js';
import { requestError } from './errors.js';

/** A build as answers take it. */
export interface Remounts {
  /** Its name. */
  readonly build: string;
  readonly ids: readonly number[];
  /** What the analyses depend on, one a recording. */
  readonly keys: readonly string[];
  /** One a remount. */
  readonly analyses: readonly RecordingAnalysis[];
}

/** A build's recordings that count. */
export const recordedRemounts = (logbook: Logbook, buildId: number): Recording[] =>
  countedRemounts(logbook.listRecordings({ buildId: buildId as BuildId }));

/**
 * The analyses of a build's recordings that count; those that could not be analysed are left out.
 * @param where the part of the request that names the build
 * @param wanted aborted when whoever asks needs no answer any more
 * @throws requestError 'nothing-to-compare'
 */
export async function remountsOf(
  logbook: Logbook,
  cache: AnalysisCache,
  buildId: number,
  where: string,
  wanted?: AbortSignal,
): Promise<Remounts> {
  const recordings = recordedRemounts(logbook, buildId);
  const usable = analysedRemounts(
    await Promise.all(
      recordings.map(async (recording) => ({
        key: cache.keyOf(recording),
        ...(await cache.analysisOf(recording, wanted)),
      })),
    ),
  );
  if (!usable)
    throw requestError(404, {
      code: 'nothing-to-compare',
      found: `${nameOf(logbook, buildId)} without a complete recording that can be analysed`,
      wanted: 'a build with at least one',
      where,
    });
  return {
    build: recordings[0]!.buildName,
    ids: usable.map(({ recordingId }) => recordingId),
    keys: usable.map(({ key }) => key),
    analyses: usable.map(({ analysis }) => analysis),
  };
}

/** The long-run spread of the rig that made all recordings of some builds, as it counts beside them. */
export const spreadsBeside = (logbook: Logbook, ...builds: readonly Remounts[]): readonly LearntSpread[] =>
  logbook.remountSpreadBeside(
    builds.flatMap(({ ids }) => ids.map((id) => logbook.findRecording(id as RecordingId)!)),
  );

function nameOf(logbook: Logbook, buildId: number): string {
  const build = logbook.listBuilds().find(({ id }) => id === buildId);
  return build ? `‘${build.name}’` : `build ${buildId}`;
}
