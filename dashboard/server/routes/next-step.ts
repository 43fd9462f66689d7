import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import {
  everywhere,
  type Oil,
  type PistonField,
  type RecordingAnalysis,
  type Refusal,
} from '../../../analysis/index.js';
import type { Logbook } from '../../../daq/index.js';
import {
  type BuildOutcome,
  holeAnswer,
  matchAnswer,
  measuredBuild,
  oilAnswer,
  oilDocument,
  oilsOf,
} from '../../answers/index.js';
import type { AnalysisCache } from '../analysis-cache.js';
import type { AskedPair, HolesBody, MatchBody, OilBody, PairCurves, ShelfBody } from '../api.js';
import { requestError } from '../errors.js';
import { oilOfBuild } from '../oil-of-build.js';
import { idInText } from '../validation.js';
import { remountsOf } from './logbook.js';

/** A number of a query; the bounds keep out what no shock has, the model refuses what makes no sense together. */
const numberInText = (low: number, high: number, unit: string) => {
  const wanted = `a number from ${low} to ${high}${unit && ` ${unit}`}`;
  return z
    .string(wanted)
    .trim()
    .min(1, wanted)
    .pipe(z.coerce.number<string>(wanted).min(low, wanted).max(high, wanted));
};

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
export function nextStepRoutes(server: FastifyInstance, logbook: Logbook, cache: AnalysisCache): void {
  server.get('/api/shelf', (): ShelfBody => {
    const { pistons, drills_mm } = logbook.readShelf();
    return { oils: oilsOfShelf(logbook).map(oilDocument), pistons, drills_mm };
  });

  server.get('/api/match', { schema: { querystring: matchQuery } }, async (request): Promise<MatchBody> => {
    const { percent, kind, ...ids } = request.query as z.output<typeof matchQuery>;
    const { asked, have, target } = await askedPair(ids);
    const outcome = matchAnswer({
      analyses: have,
      target: { kind: 'recordings', analyses: target },
      tolerances: everywhere(percent),
      kind,
      oil: presentOil(ids.have, undefined),
    });
    if (!outcome.ok)
      throw refused(
        outcome.refusal,
        { build: 'query.have', target: 'query.target', both: 'query.target' }[outcome.side],
      );
    return { ...asked, percent, answer: outcome.answer };
  });

  server.get('/api/plan-oil', { schema: { querystring: oilQuery } }, async (request): Promise<OilBody> => {
    const { percent, restore, oil_cSt, ...ids } = request.query as z.output<typeof oilQuery>;
    const { asked, have, target } = await askedPair(ids);
    const present = presentOil(ids.have, oil_cSt);
    const outcome = oilAnswer({
      have,
      want: { kind: 'recordings', analyses: target },
      present,
      shelf: oilsOfShelf(logbook),
      tolerances: everywhere(percent),
      restore: restore === 'total' ? {} : null,
    });
    if (!outcome.ok) throw refused(outcome.refusal, outcome.side === 'have' ? 'query.have' : 'query.target');
    const curves = curvesOf(have, target, restore, present);
    return { ...asked, percent, curves, answer: outcome.answer };
  });

  server.get(
    '/api/plan-holes',
    { schema: { querystring: holesQuery } },
    async (request): Promise<HolesBody> => {
      const {
        percent,
        have: haveId,
        target: targetId,
        oil_cSt,
        ...piston
      } = request.query as z.output<typeof holesQuery>;
      const { asked, have, target } = await askedPair({ have: haveId, target: targetId });
      const present = presentOil(haveId, oil_cSt);
      const outcome = holeAnswer({
        have,
        want: { kind: 'recordings', analyses: target },
        piston,
        present,
        ownedDrills_mm: logbook.readShelf().drills_mm,
        shelf: oilsOfShelf(logbook),
        tolerances: everywhere(percent),
      });
      if (!outcome.ok) {
        const { refusal, side } = outcome;
        throw refused(
          refusal,
          'field' in refusal ? pistonPlaces[refusal.field] : side === 'have' ? 'query.have' : 'query.target',
        );
      }
      return {
        ...asked,
        percent,
        curves: curvesOf(have, target, 'damping', present),
        answer: outcome.answer,
      };
    },
  );

  async function askedPair(ids: { readonly have: number; readonly target: number }) {
    if (ids.have === ids.target)
      throw requestError(400, {
        code: 'same-build',
        found: 'one build twice',
        wanted: 'a target that is another build',
        where: 'query.target',
      });
    const [have, target] = [
      await remountsOf(logbook, cache, ids.have, 'query.have'),
      await remountsOf(logbook, cache, ids.target, 'query.target'),
    ];
    const asked: AskedPair = {
      have: { buildId: ids.have, recordingIds: have.ids },
      target: { buildId: ids.target, recordingIds: target.ids },
    };
    return { asked, have: have.analyses, target: target.analyses };
  }

  function presentOil(buildId: number, oil_cSt: number | undefined): Oil | null {
    const properties = logbook.listBuilds().find(({ id }) => id === buildId)?.properties ?? {};
    const stated = oilOfBuild(oil_cSt, properties, oilsOfShelf(logbook));
    if (!stated.ok) throw refused(stated.refusal, 'query.oil_cSt');
    return stated.oil;
  }
}

const pistonPlaces: Readonly<Record<PistonField, string>> = {
  bore_m: 'query.bore_mm',
  shaft_m: 'query.rod_mm',
  thickness_m: 'query.thickness_mm',
  holes: 'query.hole_mm',
  gap_m: 'query.gap_mm',
  countersunk_m: 'query.thickness_mm',
};

function oilsOfShelf(logbook: Logbook): readonly Oil[] {
  const made = oilsOf(logbook.readShelf().oils);
  if (!made.ok) throw refused(made.refusal, 'shelf');
  return made.oils;
}

/** Both builds as they are, at the target's temperature, for the picture; the answer says what would become of them. */
function curvesOf(
  have: readonly RecordingAnalysis[],
  target: readonly RecordingAnalysis[],
  kind: 'damping' | 'total',
  oil: Oil | null,
): PairCurves {
  const wanted = measuredBuild(target);
  const at_degC = wanted.ok ? wanted.build.damping.temperature_degC : null;
  const present = measuredBuild(have, { oil, at_degC });
  const pointsOf = (outcome: BuildOutcome) => (outcome.ok && outcome.build[kind]?.points) || [];
  return { have: pointsOf(present), target: pointsOf(wanted) };
}

/** What the recordings or the piston cannot support: a refusal in the model's own words. */
const refused = ({ code, found, wanted }: Refusal<string>, where: string) =>
  requestError(422, { code, found, wanted, where });
