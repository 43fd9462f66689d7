import { type Difference, type Estimate, scaleEstimate } from '../../../analysis/index.js';

/** Differences as shares of the reference, so that one scale fits all of them. */
export interface DifferenceShares {
  /** In the order of the comparison; null where the reference could be zero, since a share of nothing says nothing. */
  readonly shares: readonly (Estimate | null)[];
  /** The scale runs from minus to plus this share. */
  readonly reach: number;
}

const roundScales = [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 1];

/** The smallest round scale that shows every interval; what goes beyond the whole of the reference is cut there. */
export function differenceShares({
  differences,
}: {
  readonly differences: readonly Difference[];
}): DifferenceShares {
  const shares = differences.map(shareOfReference);
  const widest = Math.max(0, ...shares.flatMap((share) => (share ? [-share.low95, share.high95] : [])));
  return { shares, reach: roundScales.find((scale) => scale >= widest) ?? 1 };
}

const shareOfReference = ({ before, difference }: Difference): Estimate | null =>
  before.low95 > 0 ? scaleEstimate(difference, 1 / before.value) : null;
