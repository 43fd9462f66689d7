import type { FastifyInstance, FastifyReply } from 'fastify';
import * as z from 'zod';
import { countedRemounts } from '../../answers/index.js';
import type { AnswerSources } from '../answers.js';
import { remountsOf, spreadsBeside } from '../remounts.js';
import { idInText } from '../validation.js';

/** Tables to save: full numbers with intervals, as CSV. */
export function tableRoutes(server: FastifyInstance, { logbook, cache, answers }: AnswerSources): void {
  const comparisonSchema = { querystring: z.object({ before: idInText, after: idInText }) };
  server.get('/api/tables/comparison.csv', { schema: comparisonSchema }, async (request, reply) => {
    const { before, after } = request.query as z.output<typeof comparisonSchema.querystring>;
    const sides = {
      before: await remountsOf(logbook, cache, before, 'query.before', request.signal),
      after: await remountsOf(logbook, cache, after, 'query.after', request.signal),
    };
    const spreads = spreadsBeside(logbook, sides.before, sides.after);
    const asked = { before: sides.before.build, after: sides.after.build, spreads };
    return sendCsv(
      reply,
      await answers.of('comparison-table', sides, asked, request.signal),
      'comparison.csv',
    );
  });

  const summarySchema = {
    querystring: z.object({ by: z.enum(['build', 'oil', 'piston']).default('build') }),
  };
  server.get('/api/tables/summary.csv', { schema: summarySchema }, async (request, reply) => {
    const { by } = request.query as z.output<typeof summarySchema.querystring>;
    const counted = countedRemounts(logbook.listRecordings());
    const bodies = await Promise.all(counted.map((recording) => cache.analysisOf(recording, request.signal)));
    const builds = new Map(logbook.listBuilds().map((build) => [build.id, build]));
    const recordings = counted.map(({ id, buildId, buildName }) => ({
      id,
      buildName,
      properties: builds.get(buildId)?.wholeProperties ?? {},
    }));
    const analyses = {
      keys: counted.map(cache.keyOf),
      analyses: bodies.map((body) => (body.ok ? body.analysis : null)),
    };
    const csv = await answers.of('summary-table', { analyses }, { by, recordings }, request.signal);
    return sendCsv(reply, csv, `summary-by-${by}.csv`);
  });
}

function sendCsv(reply: FastifyReply, csv: string, fileName: string): FastifyReply {
  return reply
    .type('text/csv; charset=utf-8')
    .header('content-disposition', `attachment; filename="${fileName}"`)
    .serializer((text: unknown) => String(text))
    .send(csv);
}
