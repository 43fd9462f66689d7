import { curvePointOf, estimateOf } from '../estimate.js';
import type { CurvePoint } from '../result.js';
import { directionOf, type ForceCurve, fastestOf, readBeyond } from './force-curve.js';
import { forceOn } from './read-curve.js';

/** What is known of the spread between remounts from elsewhere: the rig's check standard, or earlier builds. */
export interface RemountSpread {
  /** Standard deviation of a force between remounts, relative to the force. */
  readonly relative: number;
  readonly degreesOfFreedom: number;
}

/** The same by quantity, as in a comparison, where it is not one for all: undefined where it is not known. */
export type KnownSpread = RemountSpread | ((quantity: string) => RemountSpread | undefined);

/** What is known for one quantity. */
export const spreadFor = (known: KnownSpread | undefined, quantity: string): RemountSpread | undefined =>
  typeof known === 'function' ? known(quantity) : known;

/**
 * The curve of a build from its remounts.
 * @param curves one a remount, at least one, at one temperature
 * @param known spread from elsewhere, pooled with what these remounts show
 * @returns the mean over the speeds that all remounts reach, or nearly, its band from the spread between remounts, never below
 *   what the recordings' own bands imply; a single remount without a known spread keeps its own band
 */
export function meanOfRemounts(curves: readonly ForceCurve[], known?: RemountSpread): ForceCurve {
  const [first] = curves;
  if (!first) throw new RangeError('a mean curve needs at least one remount');
  const n = curves.length;
  const degreesOfFreedom = n - 1 + (known?.degreesOfFreedom ?? 0);
  if (degreesOfFreedom === 0) return first;
  const points = first.points.flatMap(({ velocity_m_per_s }): CurvePoint[] => {
    const speed = Math.abs(velocity_m_per_s);
    const direction = directionOf(velocity_m_per_s);
    if (curves.some((curve) => fastestOf(curve, direction) * readBeyond < speed)) return [];
    const readings = curves.map((curve) => forceOn(curve, velocity_m_per_s)!);
    const force_N = readings.reduce((sum, reading) => sum + reading.force_N, 0) / n;
    const shown = readings.reduce((sum, reading) => sum + (reading.force_N - force_N) ** 2, 0);
    const foreseen = known ? known.degreesOfFreedom * (known.relative * force_N) ** 2 : 0;
    const between = (shown + foreseen) / degreesOfFreedom;
    const within = readings.reduce((sum, reading) => sum + reading.standardError_N ** 2, 0) / n;
    const standardError_N = Math.sqrt(Math.max(between, within) / n);
    return [curvePointOf(velocity_m_per_s, estimateOf(force_N, standardError_N, degreesOfFreedom))];
  });
  return { ...first, points, degreesOfFreedom };
}
