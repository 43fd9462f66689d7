/** One value of one remount of one build. */
export interface RemountResult {
  /** As in a comparison: `friction_N`, `damping.compression@0.10`, …; a check standard's `rate_N_per_mm`. */
  readonly quantity: string;
  readonly build: string | number;
  readonly remount: number;
  readonly value: number;
}

/** How much a rig's results differ from remount to remount, from everything it has measured. */
export interface LongRunSpread {
  readonly quantity: string;
  /** In the quantity's unit. */
  readonly standardDeviation: number;
  /** Of the values; what carries over to a build of another size. */
  readonly relativeStandardDeviation: number;
  readonly degreesOfFreedom: number;
  readonly builds: number;
}

/**
 * Long-run spread between remounts, each build about its own mean, pooled over builds.
 * @param results in the order they were measured; a remount measured more than once counts by its last value
 * @returns one entry a quantity that some build has two remounts of; empty without any
 * Source: pooled standard deviation, NIST/SEMATECH e-Handbook of Statistical Methods, 2.2.3 and 2.4.5
 */
export function longRunSpread(results: readonly RemountResult[]): LongRunSpread[] {
  const latest = new Map(
    results.map((result) => [JSON.stringify([result.quantity, result.build, result.remount]), result]),
  );
  const quantities = [...new Set(results.map(({ quantity }) => quantity))];
  return quantities.flatMap((quantity) => {
    const own = [...latest.values()].filter((result) => result.quantity === quantity);
    const builds = [...new Set(own.map(({ build }) => build))]
      .map((build) => own.filter((result) => result.build === build).map(({ value }) => value))
      .filter((values) => values.length > 1);
    const degreesOfFreedom = builds.reduce((sum, values) => sum + values.length - 1, 0);
    if (degreesOfFreedom === 0) return [];
    let squares = 0;
    let relativeSquares = 0;
    for (const values of builds) {
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      const sum = values.reduce((part, value) => part + (value - mean) ** 2, 0);
      squares += sum;
      relativeSquares += sum / mean ** 2;
    }
    return [
      {
        quantity,
        standardDeviation: Math.sqrt(squares / degreesOfFreedom),
        relativeStandardDeviation: Math.sqrt(relativeSquares / degreesOfFreedom),
        degreesOfFreedom,
        builds: builds.length,
      },
    ];
  });
}
