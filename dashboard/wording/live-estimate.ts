import type { FollowedEstimate, FollowedQuantity, LiveEstimate } from '../answers/index.js';
import { estimateText, formatNumber, plusMinus } from './numbers.js';
import { refusalSentence } from './refusals.js';

const names: Readonly<Record<FollowedQuantity, string>> = {
  friction_N: 'Drag',
  'damping.compression@0.10': 'Damping in compression at 100 mm/s',
  'damping.rebound@0.10': 'Damping in rebound at 100 mm/s',
};

/** A followed quantity as a heading. */
export const followedName = (quantity: FollowedQuantity): string => names[quantity];

/** "1.05 ± 0.03 N", or why it is not known yet. */
export function followedWords(
  { estimate, notYet, fastest_m_per_s }: FollowedEstimate,
  { cycles, cyclesWanted }: LiveEstimate,
): string {
  if (estimate) return plusMinus(estimate, 'N');
  switch (notYet) {
    case 'too-few-cycles':
      return `not known yet: ${cycles} of ${cyclesWanted} cycles`;
    case 'too-slow':
      return `not known yet: the shaft has reached ${formatNumber(1000 * (fastest_m_per_s ?? 0), 2)} mm/s so far`;
    case 'one-speed':
      return 'not known yet: all strokes so far have about one speed';
    default:
      return 'not known yet: too few strokes reverse';
  }
}

/** How sharp the quantity in question is, and what that allows. */
export type Sharpness = 'unknown' | 'coarse' | 'sharp';

/**
 * One sentence on where the recording stands.
 * @param latest null before the first estimate
 * @param asked the quantity that the question is about
 * @param needed_N half-width that the question needs; null where it is not known
 * @param leftOut what stopping now leaves out, as a clause; null for nothing
 */
export function liveSentence(
  latest: LiveEstimate | null,
  asked: FollowedQuantity,
  needed_N: number | null,
  sharpness: Sharpness,
  leftOut: string | null,
): string {
  const name = names[asked];
  if (!latest) return 'Nothing is known yet: the first estimate comes after a few strokes.';
  if (latest.refusal)
    return latest.refusal.code === 'no-motion' || latest.refusal.code === 'too-short'
      ? 'Nothing is known yet: wait for whole strokes both ways.'
      : refusalSentence(latest.refusal);
  if (latest.cyclesWanted !== null)
    return `Not known yet: ${latest.cycles} of ${latest.cyclesWanted} cycles. Fewer do not show how one cycle differs from the next.`;
  const followed = latest.quantities.find(({ quantity }) => quantity === asked);
  if (!followed?.estimate) return `${name} is ${followedWords(followed ?? latest.quantities[0]!, latest)}.`;
  const reached = `${name} is known to ±${estimateText(followed.estimate).halfWidth} N`;
  if (needed_N === null) return `${reached}.`;
  const needed = `±${formatNumber(needed_N, 2)} N`;
  if (sharpness !== 'sharp') return `${reached}; your question needs ${needed}.`;
  return `Sharp enough. ${reached}, your question needs ${needed}: you may stop${leftOut === null ? '' : `; ${leftOut}`}.`;
}
