import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { type AnswerSources, given } from '../answers.js';
import type { RemountsBody } from '../api.js';
import { type Remounts, recordedRemounts, remountsOf, spreadsBeside } from '../remounts.js';
import { idInText, numberInText } from '../validation.js';

const remountsQuery = z.object({
  have: idInText,
  quantity: z.string().max(60).default('friction_N'),
  difference_N: numberInText(1e-4, 1000, 'N').optional(),
});

/** Enough to know a rig's spread, few enough to analyse while somebody waits. */
const mostOthers = 8;

/** How many more remounts a difference needs. Reads only. */
export function moreRemountsRoute(server: FastifyInstance, { logbook, cache, answers }: AnswerSources): void {
  server.get(
    '/api/more-remounts',
    { schema: { querystring: remountsQuery } },
    async (request): Promise<RemountsBody> => {
      const query = request.query as z.output<typeof remountsQuery>;
      const have = await remountsOf(logbook, cache, query.have, 'query.have', request.signal);
      const telling = have.ids.length > 1 ? [have] : await otherRemounts(query.have, request.signal);
      const builds = {
        keys: telling.map(({ keys }) => keys.join(' ')),
        analyses: telling.map(({ analyses }, i) => ({ name: `build ${i + 1}`, analyses })),
      };
      const asked = {
        quantity: query.quantity,
        difference_N: query.difference_N ?? null,
        recorded: have.ids.length,
        expected: expectedOf(have),
        spreads: spreadsBeside(logbook, have),
      };
      const answer = given(await answers.of('more-remounts', { builds }, asked, request.signal));
      return { buildId: query.have, recordingIds: have.ids, answer };
    },
  );

  /** The latest other builds with several remounts, which speak for the rig where the build in question cannot. */
  async function otherRemounts(not: number, wanted: AbortSignal): Promise<Remounts[]> {
    const several = logbook
      .listBuilds()
      .filter(({ id }) => id !== not && recordedRemounts(logbook, id).length > 1)
      .slice(-mostOthers);
    const outcomes = await Promise.allSettled(
      several.map(({ id }) => remountsOf(logbook, cache, id, 'query.have', wanted)),
    );
    wanted.throwIfAborted();
    return outcomes.flatMap((outcome) => (outcome.status === 'fulfilled' ? [outcome.value] : []));
  }
}

/** What the shock in question has, as its own recording says; an ordinary small shock where it does not. */
function expectedOf({ analyses: [first] }: Remounts) {
  const at = first?.damping.curve.find(({ velocity_m_per_s }) => velocity_m_per_s >= 0.1);
  return {
    drag_N: first?.friction.mean_N?.value ?? 0.5,
    damping_N: Math.abs(at?.force_N ?? 5),
  };
}
