import {
  assumedSpread,
  comparedQuantities,
  type Estimate,
  type ForceCurve,
  type KnownSpread,
  type LongRunSpread,
  type RecordingAnalysis,
  type RemountSpread,
  remountMeans,
  spreadFor,
} from '../../analysis/index.js';

/** A rig's long-run spread of one quantity, as its logbook tells it. */
export type LearntSpread = Pick<
  LongRunSpread,
  'quantity' | 'relativeStandardDeviation' | 'degreesOfFreedom'
> & {
  /** Only the check standard was remounted: what a shock adds is not in it. */
  readonly rigShareOnly: boolean;
};

/**
 * What a rig's long-run spread says about recordings made on it, by quantity.
 * @param spreads from builds other than those in question, whose own remounts would otherwise count twice
 * @returns undefined for a quantity whose spread was not seen often enough to be better than an assumed one
 * Numerical notes: what only the check standard showed is less than a shock will show: it counts where it is more than
 *   the assumed spread already, and as no better known.
 */
export function knownSpread(
  spreads: readonly LearntSpread[],
): (quantity: string) => RemountSpread | undefined {
  return (quantity) => {
    const learnt = spreads.find((spread) => spread.quantity === quantity);
    if (!learnt || learnt.degreesOfFreedom < assumedSpread.degreesOfFreedom) return undefined;
    const { relativeStandardDeviation: relative, degreesOfFreedom, rigShareOnly } = learnt;
    if (!rigShareOnly) return { relative, degreesOfFreedom };
    return relative > assumedSpread.relative
      ? { relative, degreesOfFreedom: assumedSpread.degreesOfFreedom }
      : undefined;
  };
}

/**
 * The known spread that a whole curve takes: the largest of its quantities', since a curve has one band.
 * @param kind with drag or without
 */
export function spreadOfCurve(
  known: KnownSpread | undefined,
  kind: ForceCurve['kind'],
): RemountSpread | undefined {
  const names = comparedQuantities
    .map(({ name }) => name)
    .filter((name) => name.startsWith('damping.') || (kind === 'total' && name === 'friction_N'));
  const spreads = names.flatMap((name) => spreadFor(known, name) ?? []);
  return spreads.reduce<RemountSpread | undefined>(
    (most, spread) => (most && most.relative >= spread.relative ? most : spread),
    undefined,
  );
}

/** One quantity of a recording as another mounting of the same build might have shown it. */
export interface AcrossRemounts {
  readonly quantity: string;
  readonly estimate: Estimate;
  readonly spread: RemountSpread;
}

/** What a single recording says beyond its own mounting, for the quantities whose spread the rig is known for. */
export function acrossRemounts(
  analysis: RecordingAnalysis,
  known: KnownSpread | undefined,
): AcrossRemounts[] {
  return comparedQuantities.flatMap(({ name, of }) => {
    const spread = spreadFor(known, name);
    const measured = spread && of(analysis, analysis.temperature_degC);
    return measured ? [{ quantity: name, estimate: remountMeans([[measured]], spread)[0]!, spread }] : [];
  });
}
