import {
  baselineOf,
  type CheckJudgement,
  type CheckVerdict,
  judgeCheck,
  pooledSpread,
  type Spread,
  spreadLimit,
} from '../../analysis/index.js';

/** One measurement of the check standard. */
export interface CheckMeasurement {
  readonly recordingId: number;
  /** When it was made, ISO 8601. */
  readonly startedAt: string;
  readonly value: number;
  readonly standardError: number;
}

export interface CheckedQuantity extends CheckJudgement {
  /** `rate_N_per_mm` or `friction_N`. */
  readonly quantity: string;
  /** Means of the sittings, oldest first, and when each began. */
  readonly sittings: readonly number[];
  readonly startedAt: readonly string[];
  /** Spread between this sitting's remounts, where it has more than one; null otherwise. */
  readonly remounts: {
    readonly count: number;
    readonly standardDeviation: number;
    /** Null until earlier sittings had remounts too. */
    readonly limit: number | null;
  } | null;
  readonly spreadIsLarger: boolean;
}

export interface CheckAnswer {
  readonly verdict: CheckVerdict | 'spread';
  readonly quantities: readonly CheckedQuantity[];
}

/** What the check standard is held against its history by. */
export const checkedQuantities = ['rate_N_per_mm', 'friction_N'] as const;

/** A longer pause than this begins another sitting. */
const betweenSittings_ms = 6 * 3600 * 1000;

/** Whether two moments belong to one sitting. */
export const isSameSitting = (earlier: string, later: string): boolean =>
  Date.parse(later) - Date.parse(earlier) <= betweenSittings_ms;

/** Worst first. */
const gravity: readonly CheckAnswer['verdict'][] = ['outside', 'drifting', 'spread', 'learning', 'steady'];

/**
 * Judges the latest sitting of a check standard against all earlier ones.
 * @param histories measurements by quantity, oldest first, at least one each
 */
export function checkAnswer(histories: Readonly<Record<string, readonly CheckMeasurement[]>>): CheckAnswer {
  const quantities = Object.entries(histories).map(([quantity, all]) => checkedQuantity(quantity, all));
  const verdicts = quantities.flatMap(({ verdict, spreadIsLarger }): CheckAnswer['verdict'][] =>
    spreadIsLarger ? [verdict, 'spread'] : [verdict],
  );
  return { verdict: gravity.find((verdict) => verdicts.includes(verdict)) ?? 'learning', quantities };
}

/** What a check standard said last, and when. */
export interface LastCheck {
  readonly answer: CheckAnswer;
  /** ISO 8601. */
  readonly measuredAt: string;
}

/**
 * Judges a check standard by all that its rig's logbook keeps of it.
 * @param historyOf measurements of a quantity, oldest first
 * @returns null where it was never measured
 */
export function lastCheck(
  historyOf: (quantity: (typeof checkedQuantities)[number]) => readonly CheckMeasurement[],
): LastCheck | null {
  const histories = checkedQuantities.map((quantity) => [quantity, historyOf(quantity)] as const);
  const last = histories[0]?.[1].at(-1);
  if (!last || histories.some(([, history]) => history.length === 0)) return null;
  return { answer: checkAnswer(Object.fromEntries(histories)), measuredAt: last.startedAt };
}

function checkedQuantity(quantity: string, all: readonly CheckMeasurement[]): CheckedQuantity {
  const sittings: CheckMeasurement[][] = [];
  for (const [i, measurement] of all.entries()) {
    const before = all[i - 1];
    if (!before || !isSameSitting(before.startedAt, measurement.startedAt)) sittings.push([]);
    sittings.at(-1)!.push(measurement);
  }
  const spread = earlierSpread(sittings);
  // A sitting of one mounting is known less well than one of three, whatever its recordings say of themselves.
  const means = sittings.map((sitting) => ({
    value: sitting.reduce((sum, { value }) => sum + value, 0) / sitting.length,
    standardError: Math.sqrt(
      sitting.reduce((sum, { standardError }) => sum + standardError ** 2, 0) / sitting.length ** 2 +
        (spread ? spread.standardDeviation ** 2 / sitting.length : 0),
    ),
  }));
  const remounts = remountsOf(sittings, spread);
  return {
    ...judgeCheck(means),
    quantity,
    sittings: means.map(({ value }) => value),
    startedAt: sittings.map(([first]) => first!.startedAt),
    remounts,
    spreadIsLarger: Boolean(remounts?.limit && remounts.standardDeviation > remounts.limit),
  };
}

/** Spread between the remounts of all sittings but the newest, which could hide its own; null where none had two. */
const earlierSpread = (sittings: readonly (readonly CheckMeasurement[])[]): Spread | null =>
  pooledSpread(sittings.slice(0, -1).map((sitting) => sitting.map(({ value }) => value)));

function remountsOf(
  sittings: readonly (readonly CheckMeasurement[])[],
  earlier: Spread | null,
): CheckedQuantity['remounts'] {
  const now = sittings.at(-1)!.map(({ value }) => value);
  if (now.length < 2) return null;
  return {
    count: now.length,
    standardDeviation: baselineOf(now).standardDeviation,
    limit: earlier && spreadLimit(earlier.standardDeviation, earlier.degreesOfFreedom, now.length - 1),
  };
}
