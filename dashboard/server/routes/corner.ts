import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { toNewtonPerMetre } from '../../../analysis/index.js';
import { type AnswerSources, given } from '../answers.js';
import type { CornerBody } from '../api.js';
import { remountsOf } from '../remounts.js';
import { idInText, numberInText } from '../validation.js';
import { nothingRead, readFrom } from './spring-and-travel.js';
import { rateInText, rateUnit } from './typed-rate.js';

const cornerQuery = z
  .object({
    have: idInText,
    mass_g: numberInText(1, 1e5, 'g'),
    rate: rateInText,
    pull: idInText.optional(),
    preload_N: numberInText(0, 500, 'N').optional(),
    proposed_rate: rateInText,
    proposed_pull: idInText.optional(),
    proposed_preload_N: numberInText(0, 500, 'N').optional(),
    rate_unit: rateUnit,
    travel_mm: numberInText(1, 500, 'mm'),
    motion_ratio: numberInText(0.05, 3, '').default(1),
    ratio_slope_per_m: numberInText(-100, 100, 'per m').default(0),
    unsprung_g: numberInText(0, 1e5, 'g').default(0),
    tyre_rate: rateInText,
    drop_mm: numberInText(0, 5000, 'mm').optional(),
  })
  .refine(({ rate, pull }) => rate !== undefined || pull !== undefined, {
    path: ['rate'],
    message: 'the rate of the spring, or the recording of its pull',
  });

/** How a corner rides and lands with a measured shock, on its spring and on another. Reads only. */
export function cornerRoute(server: FastifyInstance, { logbook, cache, answers }: AnswerSources): void {
  server.get(
    '/api/corner',
    { schema: { querystring: cornerQuery } },
    async (request): Promise<CornerBody> => {
      const query = request.query as z.output<typeof cornerQuery>;
      const have = await remountsOf(logbook, cache, query.have, 'query.have', request.signal);
      const pulled = (id: number | undefined, where: string) =>
        id === undefined ? nothingRead : readFrom(logbook, cache, id, where);
      const sides = {
        have,
        pull: pulled(query.pull, 'query.pull'),
        proposedPull: pulled(query.proposed_pull, 'query.proposed_pull'),
      };
      const asked = { build: have.build, ...cornerAsked(query) };
      const answer = given(await answers.of('corner', sides, asked, request.signal));
      return { buildId: query.have, recordingIds: have.ids, answer };
    },
  );
}

function cornerAsked(query: z.output<typeof cornerQuery>) {
  const rateOf = (rate: number | undefined) =>
    rate === undefined ? null : toNewtonPerMetre(rate, query.rate_unit);
  const preload_N = query.preload_N ?? null;
  const hasProposed = query.proposed_rate !== undefined || query.proposed_pull !== undefined;
  return {
    parts: {
      sprung_kg: query.mass_g / 1e3,
      unsprung_kg: query.unsprung_g / 1e3,
      motionRatio: query.motion_ratio,
      motionRatioSlope_per_m: query.ratio_slope_per_m,
      tyre_N_per_m: rateOf(query.tyre_rate),
      travel_m: query.travel_mm / 1e3,
    },
    drop_m: query.drop_mm === undefined ? undefined : query.drop_mm / 1e3,
    present: { name: 'Present spring', rate_N_per_m: rateOf(query.rate), preload_N },
    proposed: hasProposed
      ? {
          name: 'Proposed spring',
          rate_N_per_m: rateOf(query.proposed_rate),
          // Screwed down as far as the present one, unless somebody says otherwise or it was pulled.
          preload_N: query.proposed_preload_N ?? (query.proposed_pull === undefined ? preload_N : null),
        }
      : null,
  };
}
