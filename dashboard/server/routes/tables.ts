import type { FastifyInstance, FastifyReply } from 'fastify';
import * as z from 'zod';
import { compareBuilds } from '../../../analysis/index.js';
import type { Logbook } from '../../../daq/index.js';
import type { Table } from '../../tables/index.js';
import type { AnalysisCache } from '../analysis-cache.js';
import { summaryRows } from '../summary-rows.js';
import { idInText } from '../validation.js';
import { remountsOf } from './logbook.js';

/** Tables to save: full numbers with intervals, as CSV. The room that tabulates is loaded with the first of them. */
export function tableRoutes(server: FastifyInstance, logbook: Logbook, cache: AnalysisCache): void {
  const comparisonSchema = { querystring: z.object({ before: idInText, after: idInText }) };
  server.get('/api/tables/comparison.csv', { schema: comparisonSchema }, async (request, reply) => {
    const { before, after } = request.query as z.output<typeof comparisonSchema.querystring>;
    const [left, right] = [
      await remountsOf(logbook, cache, before, 'query.before'),
      await remountsOf(logbook, cache, after, 'query.after'),
    ];
    const { comparisonTable } = await import('../../tables/index.js');
    const nameOf = (id: number) => logbook.listBuilds().find((build) => build.id === id)!.name;
    const comparison = compareBuilds(left.analyses, right.analyses);
    const table = comparisonTable([{ before: nameOf(before), after: nameOf(after), comparison }]);
    return sendCsv(reply, table, 'comparison.csv');
  });

  const summarySchema = {
    querystring: z.object({ by: z.enum(['build', 'oil', 'piston']).default('build') }),
  };
  server.get('/api/tables/summary.csv', { schema: summarySchema }, async (request, reply) => {
    const { by } = request.query as z.output<typeof summarySchema.querystring>;
    const { summarise } = await import('../../tables/index.js');
    const { columns, rows } = await summarise(await summaryRows(logbook, cache), by);
    return sendCsv(reply, { columns, rows: rows.map((row) => ({ ...row })) }, `summary-by-${by}.csv`);
  });
}

async function sendCsv(reply: FastifyReply, table: Table, fileName: string): Promise<FastifyReply> {
  const { tableCsv } = await import('../../tables/index.js');
  return reply
    .type('text/csv; charset=utf-8')
    .header('content-disposition', `attachment; filename="${fileName}"`)
    .serializer((text: unknown) => String(text))
    .send(tableCsv(table));
}
