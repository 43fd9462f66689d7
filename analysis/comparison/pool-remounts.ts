import type { RemountSpread } from '../curves/remounts.js';
import { estimateOf } from '../estimate.js';
import { thinningUncertainty } from '../oil/similarity.js';
import type { Estimate, SpreadBasis } from '../result.js';
import type { Measured } from './quantities.js';

/** What the remounts of one build say about one quantity. */
export interface PooledBuild {
  readonly remounts: number;
  readonly value: number;
  /** Between remounts, at this build's level. */
  readonly standardDeviation: number;
  /** Mean of what the temperature correction added. */
  readonly correction: number;
  /** With the correction's uncertainty. */
  readonly mean: Estimate;
}

export interface PooledRemounts {
  readonly builds: readonly PooledBuild[];
  readonly degreesOfFreedom: number;
  readonly basis: SpreadBasis;
}

/**
 * Stands in where every build has a single remount and nobody knows what another would give: home-built rigs repeat
 * drag and damping within a few per cent. Common practice, no source; four degrees of freedom say that it may be
 * 35 % off (GUM G.4.2).
 */
export const assumedSpread: RemountSpread = { relative: 0.05, degreesOfFreedom: 4 };

/** A build whose level is below this share of the largest is taken to spread like one at it. */
const leastLevel = 0.1;
/** Two variances that are simply averaged suit a difference of two means, however unlike they are. */
const simplyPooled = 2;

/**
 * Pools the spread between remounts over all builds that are looked at together.
 * @param builds per build one value a remount, all of one quantity and unit, at least one each
 * @param known spread from elsewhere, pooled with what these remounts show; where neither says anything, an assumed one
 * @returns each build's mean and spread, in their order and unit
 * Numerical notes: over more than two builds, or with a relative spread from elsewhere, the spread is pooled in
 *   proportion to each build's level, since a seal that drags half as much also varies about half as much. A build's
 *   spread is never taken below what its recordings' own standard errors imply.
 */
export function poolRemounts(
  builds: readonly (readonly Measured[])[],
  known?: RemountSpread,
): PooledRemounts {
  const means = builds.map((values) => meanOf(values, ({ value }) => value));
  const shown = builds.reduce((sum, values) => sum + values.length - 1, 0);
  const foreseen = known ?? (shown === 0 ? assumedSpread : { relative: 0, degreesOfFreedom: 0 });
  const degreesOfFreedom = shown + foreseen.degreesOfFreedom;
  const largest = Math.max(...means.map(Math.abs));
  const levels = means.map((mean) =>
    builds.length <= simplyPooled && foreseen.degreesOfFreedom === 0
      ? 1
      : Math.max(Math.abs(mean), leastLevel * largest) || 1,
  );
  const squares = builds.reduce(
    (sum, values, b) =>
      sum + values.reduce((part, { value }) => part + ((value - means[b]) / levels[b]) ** 2, 0),
    foreseen.degreesOfFreedom * foreseen.relative ** 2,
  );
  const relative = Math.sqrt(squares / degreesOfFreedom);
  return {
    builds: builds.map((values, b) => {
      const within = Math.sqrt(meanOf(values, ({ standardError }) => standardError ** 2));
      const standardDeviation = Math.max(relative * levels[b], within);
      const correction = meanOf(values, (value) => value.correction ?? 0);
      const variance = standardDeviation ** 2 / values.length;
      return {
        remounts: values.length,
        value: means[b],
        standardDeviation,
        correction,
        // Worked out for those who ask: curves pool all builds at speeds of one.
        get mean() {
          return estimateWithCorrection(means[b], variance, correction, degreesOfFreedom);
        },
      };
    }),
    degreesOfFreedom,
    basis: shown > 0 ? (known ? 'remounts-and-rig' : 'remounts') : known ? 'rig' : 'assumed',
  };
}

/**
 * An estimate whose error has a part that remounts show and a part that a temperature correction leaves.
 * Source: Welch-Satterthwaite (GUM G.4.1), the correction's part taken as known
 */
export function estimateWithCorrection(
  value: number,
  variance: number,
  correction: number,
  degreesOfFreedom: number,
): Estimate {
  const total = variance + (thinningUncertainty * correction) ** 2;
  const freedom = variance > 0 ? degreesOfFreedom * (total / variance) ** 2 : Number.POSITIVE_INFINITY;
  return estimateOf(value, Math.sqrt(total), freedom);
}

const meanOf = (values: readonly Measured[], of: (value: Measured) => number): number =>
  values.reduce((sum, value) => sum + of(value), 0) / values.length;
