import {
  assumedSpread,
  expectedResolution,
  type QuantityResolution,
  type RemountSpread,
  rigResolution,
  type SpreadBasis,
} from '../../analysis/index.js';
import type { NamedBuild } from './compare.js';

export interface ResolvesQuestion {
  /** Builds with at least one recording; only those with two remounts or more tell about the rig. */
  readonly builds: readonly NamedBuild[];
  /** Spread between remounts from elsewhere, relative. */
  readonly known?: RemountSpread;
  /** What the shock in question is thought to have, where nothing of it was measured. */
  readonly expected: { readonly drag_N: number; readonly damping_N: number };
  /** Differences that will be looked at together. */
  readonly comparisons?: number;
}

export interface ResolvesAnswer {
  readonly basis: SpreadBasis;
  /** Remounts that the spread was seen in; 0 where it comes from elsewhere. */
  readonly remounts: number;
  readonly quantities: readonly QuantityResolution[];
}

/**
 * What a rig can tell apart: from remounts of one build, from the spread of several builds, or, without any, from a
 * spread that is known or assumed.
 * Numerical notes: remounts of one build speak for each quantity; of several builds the relative spreads of drag and of
 *   the damping forces are pooled, damping being taken at its middle speed.
 */
export function resolvesAnswer({
  builds,
  known,
  expected,
  comparisons = 1,
}: ResolvesQuestion): ResolvesAnswer {
  const telling = builds.filter(({ analyses }) => analyses.length > 1);
  const remounts = telling.reduce((sum, { analyses }) => sum + analyses.length, 0);
  if (telling.length === 1)
    return {
      basis: 'remounts',
      remounts,
      quantities: rigResolution(telling[0]!.analyses, { comparisons }),
    };
  const each = telling.map(({ analyses }) => rigResolution(analyses));
  const drag = pooled(each, (quantity) => quantity === 'friction_N');
  const damping = pooled(each, (quantity) => quantity.startsWith('damping.') && quantity.endsWith('@0.10'));
  const other = known ?? assumedSpread;
  const asSpread = ({ relative, degreesOfFreedom }: RemountSpread) => ({
    standardDeviation: relative,
    degreesOfFreedom,
  });
  const [ofDrag, ofDamping] = [drag ?? asSpread(other), damping ?? asSpread(other)];
  return {
    basis: drag ? 'remounts' : known ? 'rig' : 'assumed',
    remounts,
    quantities: expectedResolution(
      {
        drag_N: { ...ofDrag, standardDeviation: ofDrag.standardDeviation * expected.drag_N },
        damping: ofDamping,
      },
      expected,
      { comparisons },
    ),
  };
}

/** Relative spread of some quantities over several builds, each about its own mean. */
function pooled(builds: readonly QuantityResolution[][], wanted: (quantity: string) => boolean) {
  const relative = builds.flatMap((quantities) =>
    quantities
      .filter(({ quantity }) => wanted(quantity))
      .map(({ spread, value }) => ({ ...spread, relative: spread.standardDeviation / Math.abs(value) })),
  );
  const degreesOfFreedom = relative.reduce((sum, spread) => sum + spread.degreesOfFreedom, 0);
  if (degreesOfFreedom === 0) return null;
  const squares = relative.reduce((sum, spread) => sum + spread.degreesOfFreedom * spread.relative ** 2, 0);
  return { standardDeviation: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom };
}
