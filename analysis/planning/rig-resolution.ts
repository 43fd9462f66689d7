import { comparedQuantities } from '../comparison/quantities.js';
import type { RecordingAnalysis } from '../result.js';
import { type PowerOptions, resolvableDifference, smallestTolerance } from './remounts.js';
import { pooledSpread, type Spread, spreadLimits } from './spread.js';

/** What a rig can tell apart in one quantity. */
export interface QuantityResolution {
  /** Named as in a comparison: `friction_N`, `damping.compression@0.10`, … */
  readonly quantity: string;
  /** Mean over the remounts, or what is expected of the quantity. */
  readonly value: number;
  readonly spread: Spread;
  /** By remounts a side: with the spread as measured, and with its upper limit. */
  readonly resolvable: readonly {
    readonly remounts: number;
    readonly expected: number;
    readonly cautious: number;
    /** Tightest tolerance on a target, per cent of the value, that a perfect build would be found within. */
    readonly tolerance_percent: number;
  }[];
}

const plannedRemounts: readonly number[] = [2, 3, 5, 8];

/**
 * What a rig can resolve, from remounts of one unchanged build.
 * @param remounts at least two recordings, the shock taken off between them
 * @returns per quantity that all of them support; empty below two remounts
 * Numerical notes: differences between remounts that come from temperature alone are taken out first, as in a
 *   comparison; a spread below what the recordings' own errors imply is raised to it.
 */
export function rigResolution(
  remounts: readonly RecordingAnalysis[],
  options: PowerOptions = {},
): QuantityResolution[] {
  const temperatures = remounts.map(({ temperature_degC }) => temperature_degC);
  const temperature_degC = temperatures.includes(null)
    ? null
    : temperatures.reduce<number>((sum, t) => sum + t!, 0) / temperatures.length;
  return comparedQuantities.flatMap(({ name, of }): QuantityResolution[] => {
    const measured = remounts.map((analysis) => of(analysis, temperature_degC));
    if (measured.includes(null)) return [];
    const values = measured.map((value) => value!.value);
    const shown = pooledSpread([values]);
    if (!shown) return [];
    const within = Math.sqrt(
      measured.reduce((sum, value) => sum + value!.standardError ** 2, 0) / values.length,
    );
    const spread = { ...shown, standardDeviation: Math.max(shown.standardDeviation, within) };
    const value = values.reduce((a, b) => a + b, 0) / values.length;
    return [resolutionOf(name, value, spread, options)];
  });
}

/** What the owner knows of a rig before anything is measured, as from its check standard. */
export interface RigRepeatability {
  /** Spread of drag between remounts, N. */
  readonly drag_N: Spread;
  /** Spread of damping forces between remounts, relative to them. */
  readonly damping: Spread;
}

/**
 * What a rig can be expected to resolve, before a shock is bought or drilled.
 * @param expected drag and damping force that the shock is thought to have, N
 */
export function expectedResolution(
  rig: RigRepeatability,
  expected: { readonly drag_N: number; readonly damping_N: number },
  options: PowerOptions = {},
): QuantityResolution[] {
  const damping_N = {
    ...rig.damping,
    standardDeviation: rig.damping.standardDeviation * expected.damping_N,
  };
  return [
    resolutionOf('friction_N', expected.drag_N, rig.drag_N, options),
    resolutionOf('damping', expected.damping_N, damping_N, options),
  ];
}

function resolutionOf(
  quantity: string,
  value: number,
  spread: Spread,
  options: PowerOptions,
): QuantityResolution {
  const upper = spreadLimits(spread).high;
  return {
    quantity,
    value,
    spread,
    resolvable: plannedRemounts.map((remounts) => ({
      remounts,
      expected: resolvableDifference(spread.standardDeviation, remounts, options),
      cautious: resolvableDifference(upper, remounts, options),
      tolerance_percent:
        (100 * smallestTolerance(spread.standardDeviation, remounts, options.power)) / Math.abs(value),
    })),
  };
}
