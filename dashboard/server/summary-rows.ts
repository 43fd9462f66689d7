import type { Logbook } from '../../daq/index.js';
import type { RecordingRow } from '../tables/index.js';
import type { AnalysisCache } from './analysis-cache.js';

/** Every complete recording with what its build is made of and what the analysis found, for summaries. */
export async function summaryRows(logbook: Logbook, cache: AnalysisCache): Promise<RecordingRow[]> {
  const { recordingRow } = await import('../tables/index.js');
  const builds = new Map(logbook.listBuilds().map((build) => [build.id, build]));
  const complete = logbook.listRecordings().filter(({ state }) => state === 'complete');
  return Promise.all(
    complete.map(async (recording) => {
      const body = await cache.analysisOf(recording);
      const properties = builds.get(recording.buildId)?.properties ?? {};
      return recordingRow(recording, properties, body.ok ? body.analysis : null);
    }),
  );
}
