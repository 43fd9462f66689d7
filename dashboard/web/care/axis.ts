import { type Ticks, ticksWithin } from '../../report/index.js';

/** A linear way from values to a stretch of a picture, with ticks at round values. */
export interface Axis {
  at(value: number): number;
  readonly ticks: Ticks['values'];
  readonly decimals: number;
}

/**
 * @param values all that must fit; their extent is widened by a twentieth
 * @param from, to where the lowest and the highest come to lie
 */
export function axisOver(values: readonly number[], from: number, to: number, about = 4): Axis {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = (high - low || Math.abs(high) || 1) / 20;
  const [bottom, top] = [low - room, high + room];
  const { values: ticks, decimals } = ticksWithin(bottom, top, about);
  return {
    at: (value) => from + ((value - bottom) / (top - bottom)) * (to - from),
    ticks,
    decimals,
  };
}
