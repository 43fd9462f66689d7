import type { Estimate } from '../../analysis/index.js';
import type { Logbook } from '../../daq/index.js';
import type { RecordingRow } from '../tables/index.js';
import type { AnalysisCache } from './analysis-cache.js';

/** Every complete recording with what its build is made of and what the analysis found, for summaries. */
export async function summaryRows(logbook: Logbook, cache: AnalysisCache): Promise<RecordingRow[]> {
  const builds = new Map(logbook.listBuilds().map((build) => [build.id, build]));
  const complete = logbook.listRecordings().filter(({ state }) => state === 'complete');
  return Promise.all(
    complete.map(async (recording): Promise<RecordingRow> => {
      const body = await cache.analysisOf(recording);
      const properties = builds.get(recording.buildId)?.properties ?? {};
      const part = (key: string) => (properties[key] === undefined ? null : String(properties[key]));
      const value = (estimate: Estimate | null) => estimate?.value ?? null;
      return {
        recording: String(recording.id),
        build: recording.buildName,
        oil: part('oil'),
        piston: part('piston'),
        quantities: body.ok
          ? {
              friction_N: value(body.analysis.friction.mean_N),
              breakaway_N: value(body.analysis.friction.breakaway_N),
              'damping.compression.linear_Ns_per_m': value(body.analysis.damping.compression.linear_Ns_per_m),
              'damping.compression.quadratic_Ns2_per_m2': value(
                body.analysis.damping.compression.quadratic_Ns2_per_m2,
              ),
              'damping.rebound.linear_Ns_per_m': value(body.analysis.damping.rebound.linear_Ns_per_m),
              'damping.rebound.quadratic_Ns2_per_m2': value(
                body.analysis.damping.rebound.quadratic_Ns2_per_m2,
              ),
            }
          : {},
      };
    }),
  );
}
