import {
  coverage95,
  type QuantityResolution,
  type RemountPlan,
  remountsNeeded,
  resolvableDifference,
  spreadLimits,
} from '../../analysis/index.js';
import { type ResolvesAnswer, type ResolvesQuestion, resolvesAnswer } from './resolves.js';

export interface MoreRemountsQuestion extends ResolvesQuestion {
  /** Named as in a comparison; drag where these recordings do not have it. */
  readonly quantity: string;
  /** That matters to whoever asks, > 0, N; null where they do not say. */
  readonly difference_N: number | null;
  /** Of the build in question, so far. */
  readonly recorded: number;
}

/** What so many remounts of each of two builds tell. */
export interface RemountsTell {
  readonly remounts: number;
  /** Reach of the 95 % interval of the difference to either side, N. */
  readonly halfWidth_N: number;
  /** Difference told from nothing four times in five, with the spread as measured and with the upper limit of it. */
  readonly resolvable_N: number;
  readonly cautious_N: number;
}

export interface MoreRemountsAnswer {
  readonly basis: ResolvesAnswer['basis'];
  /** Remounts that the spread was seen in; 0 where it comes from elsewhere. */
  readonly seenIn: number;
  readonly quantity: string;
  /** All that these recordings support. */
  readonly quantities: readonly string[];
  readonly value_N: number;
  readonly recorded: number;
  /** What is recorded tells so much; null with one remount, whose spread nobody knows. */
  readonly now: RemountsTell | null;
  readonly byRemounts: readonly RemountsTell[];
  readonly wanted: (RemountPlan & { readonly difference_N: number }) | null;
}

export type MoreRemountsOutcome =
  | { readonly ok: true; readonly answer: MoreRemountsAnswer }
  | {
      readonly ok: false;
      readonly refusal: { readonly code: 'no-quantity'; readonly found: string; readonly wanted: string };
    };

const fewestDrawn = 12;
const mostDrawn = 24;

/** What difference the remounts of a build can see, and how many see one that matters. */
export function moreRemountsAnswer(question: MoreRemountsQuestion): MoreRemountsOutcome {
  const { basis, remounts, quantities } = resolvesAnswer(question);
  const found = quantities.find(({ quantity }) => quantity === question.quantity) ?? quantities[0];
  if (!found)
    return {
      ok: false,
      refusal: {
        code: 'no-quantity',
        found: 'remounts that have no quantity in common',
        wanted: 'remounts recorded in the same way',
      },
    };
  const { difference_N, recorded } = question;
  const plan = difference_N === null ? null : remountsNeeded(difference_N, found.spread);
  const last = Math.max(fewestDrawn, recorded, plan?.withMeasuredSpread ?? 0, plan?.remounts ?? 0);
  return {
    ok: true,
    answer: {
      basis,
      seenIn: remounts,
      quantity: found.quantity,
      quantities: quantities.map(({ quantity }) => quantity),
      value_N: found.value,
      recorded,
      now: recorded > 1 ? told(found, recorded) : null,
      byRemounts: Array.from({ length: Math.min(mostDrawn, last) - 1 }, (_, i) => told(found, i + 2)),
      wanted: plan && { difference_N: difference_N!, ...plan },
    },
  };
}

function told({ spread }: QuantityResolution, remounts: number): RemountsTell {
  const { standardDeviation } = spread;
  return {
    remounts,
    halfWidth_N: coverage95(2 * (remounts - 1)) * standardDeviation * Math.sqrt(2 / remounts),
    resolvable_N: resolvableDifference(standardDeviation, remounts),
    cautious_N: resolvableDifference(spreadLimits(spread).high, remounts),
  };
}
