import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import type { Logbook, Recording, RecordingId } from '../../../daq/index.js';
import type { AnswerSources } from '../answers.js';
import type { AnalysisBody, CompareBody, SpreadsBody } from '../api.js';
import { requestError } from '../errors.js';
import { remountsOf, spreadsBeside } from '../remounts.js';
import { idInText, idsInText } from '../validation.js';

/** What the analysis makes of a recording, and of two builds; what the rig's past says beside them. Reads only. */
export function analysisRoutes(server: FastifyInstance, { logbook, cache, answers }: AnswerSources): void {
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
      const body = await cache.analysisOf(endedRecording(logbook, id, 'params.id'), request.signal);
      return body.ok && picture === 'none' ? { ...body, picture: null } : body;
    },
  );

  const compareSchema = { querystring: z.object({ before: idInText, after: idInText }) };
  server.get('/api/compare', { schema: compareSchema }, async (request): Promise<CompareBody> => {
    const { before, after } = request.query as z.output<typeof compareSchema.querystring>;
    const [left, right] = [
      await remountsOf(logbook, cache, before, 'query.before', request.signal),
      await remountsOf(logbook, cache, after, 'query.after', request.signal),
    ];
    return {
      before: { buildId: before, recordingIds: left.ids },
      after: { buildId: after, recordingIds: right.ids },
      comparison: await answers.of(
        'compare',
        { before: left, after: right },
        { spreads: spreadsBeside(logbook, left, right) },
        request.signal,
      ),
    };
  });

  const spreadsSchema = { querystring: z.object({ recordings: idsInText }) };
  server.get('/api/spreads', { schema: spreadsSchema }, (request): SpreadsBody => {
    const { recordings } = request.query as z.output<typeof spreadsSchema.querystring>;
    return {
      recordingIds: recordings,
      spreads: logbook.remountSpreadBeside(
        recordings.map((id) => endedRecording(logbook, id, 'query.recordings')),
      ),
    };
  });
}

/** A recording that will not change any more. */
function endedRecording(logbook: Logbook, id: number, where: string): Recording {
  const recording = logbook.findRecording(id as RecordingId);
  if (!recording)
    throw requestError(404, {
      code: 'unknown-recording',
      found: `no recording ${id}`,
      wanted: 'a recording of this logbook',
      where,
    });
  if (recording.state === 'recording')
    throw requestError(409, {
      code: 'still-recording',
      found: `recording ${id}, which is still being made`,
      wanted: 'one that has ended',
      where,
    });
  return recording;
}
