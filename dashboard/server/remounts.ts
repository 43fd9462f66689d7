import type { RecordingAnalysis } from '../../analysis/index.js';
import type { BuildId, Logbook, Recording, RecordingId } from '../../daq/index.js';
import { countedRemounts, type LearntSpread } from '../answers/index.js';
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
  const analysed = await Promise.all(
    recordedRemounts(logbook, buildId).map(async (recording) => ({
      build: recording.buildName,
      key: cache.keyOf(recording),
      body: await cache.analysisOf(recording, wanted),
    })),
  );
  const usable = analysed.flatMap(({ body, ...of }) => (body.ok ? [{ ...of, ...body }] : []));
  const [first] = usable;
  if (!first)
    throw requestError(404, {
      code: 'nothing-to-compare',
      found: `${nameOf(logbook, buildId)} without a complete recording that can be analysed`,
      wanted: 'a build with at least one',
      where,
    });
  return {
    build: first.build,
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
