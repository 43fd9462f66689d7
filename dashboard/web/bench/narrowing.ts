import type { Estimate } from '../../../analysis/index.js';
import type { FollowedQuantity, LiveEstimate } from '../../answers/index.js';
import type { Sharpness } from '../../wording/index.js';

/** How one quantity's interval has narrowed, as shares of a picture: 0, 0 is its upper left corner. */
export interface NarrowingPicture {
  /** Up to where nothing is known. */
  readonly unknownUntil: number;
  /** Corners of the band, round; empty where it never was known. */
  readonly band: readonly (readonly [x: number, y: number])[];
  readonly line: readonly (readonly [x: number, y: number])[];
  /** Between these the interval is sharp enough. */
  readonly needed: readonly [y: number, y: number] | null;
}

/** As far as the recording had come. */
interface KnownAt {
  readonly until_s: number;
  readonly estimate: Estimate;
}

/** Estimates of one quantity, where it was known. */
export function knownOf(estimates: readonly LiveEstimate[], quantity: FollowedQuantity): KnownAt[] {
  return estimates.flatMap(({ until_s, quantities }) => {
    const estimate = quantities.find((followed) => followed.quantity === quantity)?.estimate;
    return estimate ? [{ until_s, estimate }] : [];
  });
}

export const halfWidthOf = ({ low95, high95 }: Estimate): number => (high95 - low95) / 2;

/**
 * Whether a quantity is known well enough to stop.
 * @param needed half-width that the question needs
 * @returns sharp where the last two estimates are, since an interval is itself an estimate; known only in part before
 */
export function sharpnessOf(
  estimates: readonly LiveEstimate[],
  quantity: FollowedQuantity,
  needed: number | null,
): Sharpness {
  const latest = estimates.at(-1)?.quantities.find((followed) => followed.quantity === quantity);
  if (!latest?.estimate) return 'unknown';
  const lastTwo = knownOf(estimates, quantity).slice(-2);
  return needed !== null && lastTwo.length === 2 && lastTwo.every((at) => halfWidthOf(at.estimate) <= needed)
    ? 'sharp'
    : 'coarse';
}

/** The picture of what is known shows this many times what is needed to each side. */
const REACH = 1.5;

/**
 * @param known oldest first
 * @param end_s right end of the picture: the procedure's end, or what has passed where nobody knows it
 * @param needed half-width in the quantity's unit; null where the question needs none
 */
export function narrowingPicture(
  known: readonly KnownAt[],
  end_s: number,
  needed: number | null,
): NarrowingPicture {
  const latest = known.at(-1);
  if (!latest) return { unknownUntil: 1, band: [], line: [], needed: null };
  const { value } = latest.estimate;
  const widest = Math.max(...known.map(({ estimate }) => halfWidthOf(estimate)));
  const reach = (needed === null ? 1.3 * widest : REACH * needed) || 1;
  const x = (time_s: number) => clamp(time_s / end_s);
  const y = (force: number) => clamp(0.5 - (force - value) / reach / 2);
  const upper = known.map(({ until_s, estimate }) => [x(until_s), y(estimate.high95)] as const);
  const lower = known.map(({ until_s, estimate }) => [x(until_s), y(estimate.low95)] as const);
  return {
    unknownUntil: x(known[0]!.until_s),
    band: [...upper, ...lower.reverse()],
    line: known.map(({ until_s, estimate }) => [x(until_s), y(estimate.value)] as const),
    needed: needed === null ? null : [y(value + needed), y(value - needed)],
  };
}

const clamp = (share: number): number => Math.min(1, Math.max(0, share));
