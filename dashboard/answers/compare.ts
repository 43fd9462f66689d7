import {
  type Comparison,
  compareWithFirst,
  costOfComparisons,
  type Difference,
  type FamilyDifference,
  judgeTogether,
  type KnownSpread,
  type RecordingAnalysis,
  type RemountPlan,
  remountsNeeded,
} from '../../analysis/index.js';

export interface NamedBuild {
  readonly name: string;
  /** One a remount, at least one. */
  readonly analyses: readonly RecordingAnalysis[];
}

export interface CompareQuestion {
  /** At least two; all are compared with the first. */
  readonly builds: readonly NamedBuild[];
  /** Spread between remounts from elsewhere, relative. */
  readonly known?: KnownSpread | undefined;
  /** Difference that matters to the person, per cent of the first build's value; what remounts are planned for. */
  readonly matters_percent?: number;
  /** Oil temperature to bring damping to; the mean of all recordings where nothing is said. */
  readonly at_degC?: number | null;
}

export interface ComparedDifference extends FamilyDifference {
  /** Remounts a side that would resolve the difference that matters; null where that has no meaning. */
  readonly plan: (RemountPlan & { readonly difference: number }) | null;
}

export interface BuildComparison extends Omit<Comparison, 'differences'> {
  readonly name: string;
  readonly differences: readonly ComparedDifference[];
}

export interface CompareAnswer {
  /** The build that all others are compared with. */
  readonly reference: string;
  readonly comparisons: readonly BuildComparison[];
  /** Null unless every recording has one. */
  readonly temperature_degC: number | null;
  readonly matters_percent: number;
  /** All differences here are judged together too: `familyVerdict`. */
  readonly family: {
    readonly comparisons: number;
    /** How much larger a difference must be to be resolved among so many. */
    readonly cost: number;
  };
}

/** A tenth is about what hands notice; common practice, no source. */
export const usualMatters_percent = 10;

/**
 * Which builds differ from the first, by how much, and what more remounts would show.
 * Each difference has its own verdict, and one for the family of all of them, in which a single false alarm anywhere
 * stays below 5 % (Holm).
 */
export function compareAnswer({
  builds,
  known,
  matters_percent = usualMatters_percent,
  at_degC = null,
}: CompareQuestion): CompareAnswer {
  const [first, ...later] = builds;
  const compared = compareWithFirst(
    builds.map(({ analyses }) => analyses),
    known,
    at_degC,
  );
  const all = compared.flatMap(({ differences }) => differences);
  const judged = judgeTogether(all);
  let at = 0;
  const comparisons = compared.map(
    ({ differences, ...rest }, k): BuildComparison => ({
      name: later[k]!.name,
      ...rest,
      differences: differences.map(() => withPlan(judged[at++]!, matters_percent)),
    }),
  );
  return {
    reference: first!.name,
    comparisons,
    temperature_degC: compared[0]!.temperature_degC,
    matters_percent,
    family: {
      comparisons: all.length,
      cost: all.length > 0 ? costOfComparisons(all.length, leastFreedom(all)) : 1,
    },
  };
}

const leastFreedom = (differences: readonly Difference[]): number =>
  Math.min(...differences.map(({ spread }) => spread.degreesOfFreedom));

function withPlan(difference: FamilyDifference, matters_percent: number): ComparedDifference {
  const wanted = (matters_percent / 100) * Math.abs(difference.before.value);
  const plan = wanted > 0 ? { difference: wanted, ...remountsNeeded(wanted, difference.spread) } : null;
  return { ...difference, plan };
}
