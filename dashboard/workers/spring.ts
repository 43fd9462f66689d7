import { type SpringQuestion, springAnswer } from '../answers/index.js';
import type { SpringBody } from '../server/api.js';
import type { Outcome } from './next-step.js';
import { type ReadTrace, slowPoints, traced } from './traced.js';

/** Recordings by their number. */
export interface SpringSides {
  readonly pull: number;
  readonly bare: number | null;
}

export type SpringAsked = Omit<SpringQuestion, 'pull' | 'bare'>;

/** Rate and preload of a spring from the recording of its pull. */
export function spring(
  { pull, bare }: SpringSides,
  asked: SpringAsked,
  read: ReadTrace,
): Outcome<Omit<SpringBody, 'recordingId'>> {
  const pulled = traced(read, pull, places.pull);
  if (!pulled.ok) return pulled;
  const bared = bare === null ? null : traced(read, bare, places.bare);
  if (bared && !bared.ok) return bared;
  const outcome = springAnswer({
    ...asked,
    pull: pulled.answer,
    ...(bared && { bare: bared.answer }),
  });
  return outcome.ok
    ? { ok: true, answer: { points: slowPoints(pulled.answer), answer: outcome.answer } }
    : { ok: false, refusal: outcome.refusal, where: places[outcome.about] };
}

const places = {
  pull: 'query.pull',
  bare: 'query.bare',
  wire: 'query.wire_mm',
  mass: 'query.mass_after_g',
} as const;
