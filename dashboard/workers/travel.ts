import { type TravelQuestion, travelAnswer } from '../answers/index.js';
import type { TravelBody } from '../server/api.js';
import type { Outcome } from './next-step.js';
import { type ReadTrace, slowPoints, traced } from './traced.js';

/** Usable travel and stops from the recording of a travel sweep. @param sweep the recording's number */
export function travel(
  { sweep }: { readonly sweep: number },
  asked: Omit<TravelQuestion, 'sweep'>,
  read: ReadTrace,
): Outcome<Omit<TravelBody, 'recordingId'>> {
  const swept = traced(read, sweep, 'query.sweep');
  if (!swept.ok) return swept;
  const outcome = travelAnswer({ ...asked, sweep: swept.answer });
  return outcome.ok
    ? { ok: true, answer: { points: slowPoints(swept.answer), answer: outcome.answer } }
    : {
        ok: false,
        refusal: outcome.refusal,
        where: outcome.about === 'sweep' ? 'query.sweep' : 'query.standing_mm',
      };
}
