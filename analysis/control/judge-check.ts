import { ewmaChart, usualWeight } from './ewma.js';
import { type Baseline, baselineOf, type ControlLimits, checkLimits } from './shewhart.js';

/** One sitting's value of the check standard. */
export interface CheckValue {
  readonly value: number;
  /** From within the measurement, and from the spread between its remounts where that is known; 0 where unknown. */
  readonly standardError: number;
}

/**
 * *learning*: too few sittings to judge. *steady*: as before. *drifting*: the newest value alone would pass, the
 * sittings together have moved. *outside*: the newest value is beyond what the rig does by itself.
 */
export type CheckVerdict = 'learning' | 'steady' | 'drifting' | 'outside';

export interface CheckJudgement {
  readonly verdict: CheckVerdict;
  readonly newest: number;
  /** Null while learning. */
  readonly limits: ControlLimits | null;
  readonly average: number | null;
  readonly averageLimits: ControlLimits | null;
  /** Of the sittings after the baseline, with the limits at each; empty while learning. */
  readonly averages: readonly { readonly value: number; readonly limits: ControlLimits }[];
  /** Newest value less the centre, over the centre, per cent; null while learning. */
  readonly offset_percent: number | null;
  readonly baseline: Baseline | null;
  /** Sittings that are still needed before the first judgement. */
  readonly sittingsToGo: number;
}

/** Sittings before the first judgement, and those that make the baseline. Common practice, no source. */
export const fewestSittings = 4;
export const baselineSittings = 10;

/**
 * Judges the newest value of a check standard against its history.
 * @param values all sittings of one standard since its baseline began, in time order, the newest last
 * @returns Numerical notes: the baseline is the first ten sittings and stays, so that a drift cannot move its own
 *   limits; until there are ten, all but the newest. Its spread is never taken below the values' own standard errors,
 *   nor below the newest one's, which is less well known where it was measured less often.
 * Source: Shewhart and EWMA charts of a check standard, NIST/SEMATECH e-Handbook of Statistical Methods, 2.2.2
 */
export function judgeCheck(values: readonly CheckValue[]): CheckJudgement {
  const newest = values[values.length - 1];
  if (!newest) throw new RangeError('no value of the check standard to judge');
  const earlier = values.slice(0, -1);
  if (earlier.length < fewestSittings - 1)
    return {
      verdict: 'learning',
      newest: newest.value,
      limits: null,
      average: null,
      averageLimits: null,
      averages: [],
      offset_percent: null,
      baseline: null,
      sittingsToGo: fewestSittings - values.length,
    };
  const known = earlier.slice(0, baselineSittings);
  const shown = baselineOf(known.map(({ value }) => value));
  const within = Math.sqrt(
    known.reduce((sum, { standardError }) => sum + standardError ** 2, 0) / known.length,
  );
  const baseline = {
    ...shown,
    standardDeviation: Math.max(shown.standardDeviation, within, newest.standardError),
  };
  const limits = checkLimits(baseline);
  const after = values.slice(known.length);
  const chart = ewmaChart(
    after.map(({ value }) => value),
    baseline,
    usualWeight,
  );
  const average = chart.averages[after.length - 1];
  const averageLimits = chart.limits[after.length - 1];
  const beyond = (value: number, { low, high }: ControlLimits) => value < low || value > high;
  return {
    verdict: beyond(newest.value, limits)
      ? 'outside'
      : beyond(average, averageLimits)
        ? 'drifting'
        : 'steady',
    newest: newest.value,
    limits,
    average,
    averageLimits,
    averages: chart.averages.map((value, i) => ({ value, limits: chart.limits[i] })),
    offset_percent: (100 * (newest.value - baseline.mean)) / baseline.mean,
    baseline,
    sittingsToGo: 0,
  };
}
