import { scaleEstimate } from '../../analysis/index.js';
import type { FollowedEstimate, FollowedQuantity, LiveEstimate } from '../answers/index.js';
import { amountText, valueText } from './amounts.js';
import { estimateText } from './numbers.js';
import { refusalSentence } from './refusals.js';
import { speedText } from './speeds.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** A followed quantity as a heading: "Drag", "Damping in rebound at 100 mm/s". */
export function followedName(quantity: FollowedQuantity, units: DisplayUnits = metric): string {
  if (quantity === 'friction_N') return 'Drag';
  const [, direction, speed] = /^damping\.(\w+)@(.+)$/.exec(quantity)!;
  return `Damping in ${direction} at ${speedText(Number(speed), units)}`;
}

/** "1.05 ± 0.03 N", or why it is not known yet. */
export function followedWords(
  { estimate, notYet, fastest_m_per_s }: FollowedEstimate,
  { cycles, cyclesWanted }: LiveEstimate,
  units: DisplayUnits = metric,
): string {
  if (estimate) return amountText(estimate, 'force', units);
  switch (notYet) {
    case 'too-few-cycles':
      return `not known yet: ${cycles} of ${cyclesWanted} cycles`;
    case 'too-slow':
      return `not known yet: the shaft has reached ${valueText(fastest_m_per_s ?? 0, 'velocity', units, 1)} so far`;
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
  units: DisplayUnits = metric,
): string {
  const name = followedName(asked, units);
  if (!latest) return 'Nothing is known yet: the first estimate comes after a few strokes.';
  if (latest.refusal)
    return latest.refusal.code === 'no-motion' || latest.refusal.code === 'too-short'
      ? 'Nothing is known yet: wait for whole strokes both ways.'
      : refusalSentence(latest.refusal);
  if (latest.cyclesWanted !== null)
    return `Not known yet: ${latest.cycles} of ${latest.cyclesWanted} cycles. Fewer do not show how one cycle differs from the next.`;
  const followed = latest.quantities.find(({ quantity }) => quantity === asked);
  if (!followed?.estimate)
    return `${name} is ${followedWords(followed ?? latest.quantities[0]!, latest, units)}.`;
  const { factor, unit } = displayScale('force', units);
  const reached = `${name} is known to ±${estimateText(scaleEstimate(followed.estimate, factor)).halfWidth} ${unit}`;
  if (needed_N === null) return `${reached}.`;
  const needed = neededText(needed_N, units);
  if (sharpness !== 'sharp') return `${reached}; your question needs ${needed}.`;
  return `Sharp enough. ${reached}, your question needs ${needed}: you may stop${leftOut === null ? '' : `; ${leftOut}`}.`;
}

/** Half-width that a question needs: "±0.05 N". */
export const neededText = (needed_N: number, units: DisplayUnits): string =>
  `±${valueText(needed_N, 'force', units, 1)}`;
