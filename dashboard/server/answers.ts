import type { Logbook } from '../../daq/index.js';
import type { AnswerFunction, AnswerKind, AnswerOf, AskedOf, SidesOf } from '../workers/answer-work.js';
import type { Outcome } from '../workers/next-step.js';
import type { AnalysisCache } from './analysis-cache.js';
import { requestError } from './errors.js';
import { sharedWork } from './shared-work.js';

/** Analyses of one side of a question, or the recording that it is read from, with what they depend on. */
export interface KeyedSide<Analyses> {
  readonly keys: readonly string[];
  readonly analyses: Analyses;
}

/** Answers made from analyses: kept, under way, or begun now; ended when nobody waits for them any more. */
export interface Answers {
  /** @param wanted aborted when whoever asks needs no answer any more */
  of<Kind extends AnswerKind>(
    kind: Kind,
    sides: { readonly [Side in keyof SidesOf<Kind>]: KeyedSide<SidesOf<Kind>[Side]> },
    asked: AskedOf<Kind>,
    wanted?: AbortSignal,
  ): Promise<AnswerOf<Kind>>;
}

/** What a route answers questions from. */
export interface AnswerSources {
  readonly logbook: Logbook;
  readonly cache: AnalysisCache;
  readonly answers: Answers;
}

/**
 * An answer is a function of what its analyses depend on and of the question, and so is the key it is kept by.
 * @param answer works one out
 * @param most answers to keep, of some 10 kB each
 */
export function answersFrom(answer: AnswerFunction, most = 100): Answers {
  const work = sharedWork<unknown>(most);
  return {
    of(kind, sides, asked, wanted) {
      const named = Object.entries(sides) as [string, KeyedSide<unknown>][];
      const key = JSON.stringify([kind, named.map(([side, { keys }]) => [side, keys]), asked]);
      const analyses = Object.fromEntries(named.map(([side, { analyses }]) => [side, analyses]));
      const begin = (signal: AbortSignal) => answer(kind, analyses as never, asked, signal);
      return work.get(key, begin, wanted) as Promise<never>;
    },
  };
}

/** What recordings, a piston, a spring or the shelf cannot support is refused in the model's own words. */
export function given<Answer>(outcome: Outcome<Answer>): Answer {
  if (outcome.ok) return outcome.answer;
  throw requestError(422, { ...outcome.refusal, where: outcome.where });
}
