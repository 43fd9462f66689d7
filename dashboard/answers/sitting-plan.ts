import {
  coverage95,
  type ProcedureName,
  resolvableDifference,
  type Spread,
  smallestTolerance,
  spreadLimits,
} from '../../analysis/index.js';
import type { ResolvesAnswer } from './resolves.js';

export type SittingQuestionId = 'change' | 'match' | 'oil' | 'stick' | 'spring' | 'travel' | 'rig' | 'look';

/** What a person comes to the rig for, and what decides it. */
export interface SittingQuestion {
  readonly id: SittingQuestionId;
  /** How the shock is moved for it. */
  readonly procedure: ProcedureName;
  /** A difference to be seen, a tolerance to be met, the rig's own spread to be known, or nothing to be decided. */
  readonly decides: 'difference' | 'tolerance' | 'spread' | 'nothing';
  readonly about: 'drag' | 'damping';
  /** What usually matters, per cent of the force. Common practice, no source. */
  readonly wanted_percent: number;
}

export const sittingQuestions: readonly SittingQuestion[] = [
  { id: 'change', procedure: 'speed-ladder', decides: 'difference', about: 'drag', wanted_percent: 15 },
  { id: 'match', procedure: 'speed-ladder', decides: 'tolerance', about: 'damping', wanted_percent: 10 },
  { id: 'oil', procedure: 'speed-ladder', decides: 'difference', about: 'damping', wanted_percent: 10 },
  { id: 'stick', procedure: 'slow-sweep', decides: 'nothing', about: 'drag', wanted_percent: 15 },
  { id: 'spring', procedure: 'spring-pull', decides: 'nothing', about: 'drag', wanted_percent: 15 },
  { id: 'travel', procedure: 'travel-sweep', decides: 'nothing', about: 'drag', wanted_percent: 15 },
  { id: 'rig', procedure: 'speed-ladder', decides: 'spread', about: 'drag', wanted_percent: 15 },
  { id: 'look', procedure: 'speed-ladder', decides: 'nothing', about: 'drag', wanted_percent: 15 },
];

export const sittingQuestion = (id: SittingQuestionId): SittingQuestion =>
  sittingQuestions.find((question) => question.id === id)!;

/** Spread between remounts as a share of the force, of drag and of damping. */
export interface RelativeSpreads {
  readonly drag: Spread;
  readonly damping: Spread;
  readonly basis: ResolvesAnswer['basis'];
  /** Remounts that it was seen in; 0 where it comes from elsewhere. */
  readonly remounts: number;
}

/** How often to mount, and what that sees. */
export interface SittingPlan {
  /** Of each build that the question is about. */
  readonly remounts: number;
  /** With the spread as it is known, per cent of the force; null for a question that decides nothing. */
  readonly sees_percent: number | null;
  /** At worst, with the upper limit of the spread. */
  readonly atWorst_percent: number | null;
  /** Whether what is wanted is within reach of that many remounts, with the spread as it is known. */
  readonly isWithinReach: boolean;
}

/** Two remounts hardly show how they spread. */
const fewestRemounts = 3;
/** More than that nobody does for one answer; the person may ask for them all the same. */
export const mostPlanned = 6;
/** Know a spread within a factor of 0.60 to 2.87. */
const remountsOfRig = 5;

/** Shares of the force, from what a rig can tell apart. */
export function relativeSpreads({ quantities, basis, remounts }: ResolvesAnswer): RelativeSpreads | null {
  const of = (wanted: (name: string) => boolean): Spread | undefined => {
    const found = quantities.find(({ quantity }) => wanted(quantity));
    return (
      found && {
        ...found.spread,
        standardDeviation: found.spread.standardDeviation / Math.abs(found.value),
      }
    );
  };
  const drag = of((name) => name === 'friction_N');
  const damping =
    of((name) => name === 'damping' || name === 'damping.compression@0.10') ??
    of((name) => name.startsWith('damping'));
  if (!drag && !damping) return null;
  return { drag: (drag ?? damping)!, damping: (damping ?? drag)!, basis, remounts };
}

/**
 * The number of remounts that a question needs with this rig's spread.
 * @param wanted_percent difference to be seen or tolerance to be met, per cent of the force: chosen by the person, never
 *   one that was just observed
 * @param chosen number of remounts where the person has chosen it, from 1
 * @returns three to six where something is decided: planned with the upper limit of a spread that was measured, and
 *   with an assumed one as it is, since the first remounts will show better; `atWorst_percent` says what may come of it
 */
export function sittingPlan(
  question: SittingQuestion,
  wanted_percent: number,
  spreads: RelativeSpreads,
  chosen?: number,
): SittingPlan {
  const spread = spreads[question.about];
  const wanted = wanted_percent / 100;
  const planWith = spreads.basis === 'assumed' ? spread.standardDeviation : spreadLimits(spread).high;
  const remounts = chosen ?? plannedRemounts(question, wanted, planWith);
  if (question.decides === 'nothing')
    return { remounts, sees_percent: null, atWorst_percent: null, isWithinReach: true };
  const sees = (standardDeviation: number) => standardDeviation * reachOf(question, remounts);
  const asKnown = sees(spread.standardDeviation);
  return {
    remounts,
    sees_percent: 100 * asKnown,
    atWorst_percent: 100 * sees(spreadLimits(spread).high),
    isWithinReach: question.decides === 'spread' || asKnown <= wanted,
  };
}

function plannedRemounts(question: SittingQuestion, wanted: number, spread: number): number {
  if (question.decides === 'nothing') return 1;
  if (question.decides === 'spread') return remountsOfRig;
  let remounts = fewestRemounts;
  while (remounts < mostPlanned && spread * reachOf(question, remounts) > wanted) remounts++;
  return remounts;
}

/** What so many remounts see, in standard deviations between remounts; Infinity for a single one. */
function reachOf({ decides }: SittingQuestion, remounts: number): number {
  return decides === 'tolerance' ? smallestTolerance(1, remounts) : resolvableDifference(1, remounts);
}

/** A recording's own error may be this share of the spread between remounts; it then adds 5 % to it. */
const ownShare = 1 / 3;

/**
 * How narrow a recording's own interval has to be for a question.
 * @param value of the quantity, in any unit; the answer has the same
 * @returns half-width of a 95 % interval: what the difference that matters leaves beside the spread between remounts,
 *   at most half that difference, and at least a third of the spread, below which a longer recording changes next to
 *   nothing
 */
export function neededHalfWidth(
  question: SittingQuestion,
  wanted_percent: number,
  remounts: number,
  spreads: RelativeSpreads,
  of: 'drag' | 'damping',
  value: number,
): number {
  const spread = spreads[of].standardDeviation;
  const wanted = wanted_percent / 100;
  const allowed = wanted / reachOf(question, Math.max(remounts, fewestRemounts));
  const beside = Math.min(Math.sqrt(Math.max(0, allowed ** 2 - spread ** 2)), wanted / 2 / coverage95());
  return coverage95() * Math.max(beside, ownShare * spread) * Math.abs(value);
}
