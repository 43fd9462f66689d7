import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { type AnswerSources, given } from '../answers.js';
import type { AskedPair, HolesBody, MatchBody, OilBody, ShelfBody } from '../api.js';
import { requestError } from '../errors.js';
import { remountsOf, spreadsBeside } from '../remounts.js';
import { idInText, numberInText } from '../validation.js';

const pair = {
  have: idInText,
  target: idInText,
  percent: numberInText(0.1, 100, '%').default(5),
};
const oil_cSt = numberInText(1, 1e5, 'cSt').optional();
const matchQuery = z.object({ ...pair, kind: z.enum(['damping', 'total']).default('damping') });
const oilQuery = z.object({ ...pair, restore: z.enum(['damping', 'total']).default('damping'), oil_cSt });
const holesQuery = z.object({
  ...pair,
  oil_cSt,
  bore_mm: numberInText(1, 100, 'mm'),
  rod_mm: numberInText(0.5, 50, 'mm'),
  holes: numberInText(1, 24, '').refine(Number.isInteger, 'a whole number from 1 to 24'),
  hole_mm: numberInText(0.1, 20, 'mm'),
  thickness_mm: numberInText(0.1, 50, 'mm'),
  gap_mm: numberInText(0.001, 5, 'mm').optional(),
});

/** What to do next with a build: does it match, which oil, which drill. Reads only. */
export function nextStepRoutes(server: FastifyInstance, { logbook, cache, answers }: AnswerSources): void {
  server.get('/api/shelf', async (): Promise<ShelfBody> => {
    const { oils, pistons, drills_mm, springs } = logbook.readShelf();
    return { oils: given(await answers.of('shelf-oils', {}, { oils })), pistons, drills_mm, springs };
  });

  server.get('/api/match', { schema: { querystring: matchQuery } }, async (request): Promise<MatchBody> => {
    const { percent, kind, ...ids } = request.query as z.output<typeof matchQuery>;
    const { asked, sides } = await askedPair(ids, request.signal);
    const spreads = spreadsBeside(logbook, sides.have, sides.target);
    const question = { percent, kind, spreads, ...oilKnown(ids.have, undefined) };
    return { ...asked, percent, answer: given(await answers.of('match', sides, question, request.signal)) };
  });

  server.get('/api/plan-oil', { schema: { querystring: oilQuery } }, async (request): Promise<OilBody> => {
    const { percent, restore, oil_cSt, ...ids } = request.query as z.output<typeof oilQuery>;
    const { asked, sides } = await askedPair(ids, request.signal);
    const question = { percent, restore, ...oilKnown(ids.have, oil_cSt) };
    return { ...asked, percent, ...given(await answers.of('plan-oil', sides, question, request.signal)) };
  });

  server.get(
    '/api/plan-holes',
    { schema: { querystring: holesQuery } },
    async (request): Promise<HolesBody> => {
      const { percent, have, target, oil_cSt, ...piston } = request.query as z.output<typeof holesQuery>;
      const { asked, sides } = await askedPair({ have, target }, request.signal);
      const { drills_mm: ownedDrills_mm } = logbook.readShelf();
      const question = { percent, piston, ownedDrills_mm, ...oilKnown(have, oil_cSt) };
      return { ...asked, percent, ...given(await answers.of('plan-holes', sides, question, request.signal)) };
    },
  );

  async function askedPair(ids: { readonly have: number; readonly target: number }, wanted: AbortSignal) {
    if (ids.have === ids.target)
      throw requestError(400, {
        code: 'same-build',
        found: 'one build twice',
        wanted: 'a target that is another build',
        where: 'query.target',
      });
    const [have, target] = [
      await remountsOf(logbook, cache, ids.have, 'query.have', wanted),
      await remountsOf(logbook, cache, ids.target, 'query.target', wanted),
    ];
    const asked: AskedPair = {
      have: { buildId: ids.have, recordingIds: have.ids },
      target: { buildId: ids.target, recordingIds: target.ids },
    };
    return { asked, sides: { have, target } };
  }

  const oilKnown = (buildId: number, oil_cSt: number | undefined) => ({
    oil_cSt,
    properties: logbook.listBuilds().find(({ id }) => id === buildId)?.wholeProperties ?? {},
    shelf: logbook.readShelf().oils,
  });
}
