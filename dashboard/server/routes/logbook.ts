import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { compareBuilds, type RecordingAnalysis } from '../../../analysis/index.js';
import type { Logbook, Recording, RecordingId } from '../../../daq/index.js';
import type { AnalysisCache } from '../analysis-cache.js';
import type { AnalysisBody, CompareBody } from '../api.js';
import { describeLogbook } from '../describe-logbook.js';
import { requestError } from '../errors.js';
import { idInText } from '../validation.js';

/** What the logbook holds and what the analysis makes of it. Reads only. */
export function logbookRoutes(server: FastifyInstance, logbook: Logbook, cache: AnalysisCache): void {
  server.get('/api/builds', () => describeLogbook(logbook));

  const analysisSchema = {
    params: z.object({ id: idInText }),
    querystring: z.object({ picture: z.enum(['thinned', 'none']).default('thinned') }),
  };
  server.get(
    '/api/recordings/:id/analysis',
    { schema: analysisSchema },
    async (request): Promise<AnalysisBody> => {
      const { id } = request.params as z.output<typeof analysisSchema.params>;
      const { picture } = request.query as z.output<typeof analysisSchema.querystring>;
      const body = await cache.analysisOf(endedRecording(logbook, id));
      return body.ok && picture === 'none' ? { ...body, picture: null } : body;
    },
  );

  const compareSchema = { querystring: z.object({ before: idInText, after: idInText }) };
  server.get('/api/compare', { schema: compareSchema }, async (request): Promise<CompareBody> => {
    const { before, after } = request.query as z.output<typeof compareSchema.querystring>;
    const [left, right] = [
      await remountsOf(logbook, cache, before, 'query.before'),
      await remountsOf(logbook, cache, after, 'query.after'),
    ];
    return {
      before: { buildId: before, recordingIds: left.ids },
      after: { buildId: after, recordingIds: right.ids },
      comparison: compareBuilds(left.analyses, right.analyses),
    };
  });
}

/** A recording that will not change any more. */
function endedRecording(logbook: Logbook, id: number): Recording {
  const recording = logbook.findRecording(id as RecordingId);
  if (!recording)
    throw requestError(404, {
      code: 'unknown-recording',
      found: `no recording ${id}`,
      wanted: 'a recording of this logbook',
      where: 'params.id',
    });
  if (recording.state === 'recording')
    throw requestError(409, {
      code: 'still-recording',
      found: `recording ${id}, which is still being made`,
      wanted: 'one that has ended',
      where: 'params.id',
    });
  return recording;
}

/** The analyses of a build's complete recordings; those that could not be analysed are left out. */
export async function remountsOf(
  logbook: Logbook,
  cache: AnalysisCache,
  buildId: number,
  where: string,
): Promise<{ readonly ids: number[]; readonly analyses: RecordingAnalysis[] }> {
  const complete = logbook
    .listRecordings()
    .filter((recording) => recording.buildId === buildId && recording.state === 'complete');
  const bodies = await Promise.all(complete.map((recording) => cache.analysisOf(recording)));
  const usable = bodies.filter((body) => body.ok);
  if (usable.length === 0)
    throw requestError(404, {
      code: 'nothing-to-compare',
      found: `build ${buildId} without a complete recording that can be analysed`,
      wanted: 'a build with at least one',
      where,
    });
  return { ids: usable.map((body) => body.recordingId), analyses: usable.map((body) => body.analysis) };
}
