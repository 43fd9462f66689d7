import type { LoadSeries } from './load-series.js';
import { countsOf, type Scale } from './scale.js';

/** Relative errors of a force channel in per cent, in the terms of ISO 376; null where the readings cannot show them. */
export interface ForceErrors {
  /** b': largest less smallest deflection of the runs, unrotated, over their mean. */
  readonly repeatability_percent: number | null;
  /** v: deflection going down less going up, over going up, mean of the runs. */
  readonly reversibility_percent: number | null;
  /** f0: zero after a run less zero before it, over the deflection at the largest load. */
  readonly zero_percent: number | null;
  /** f_c: mean deflection going up less the curve's, over the curve's. */
  readonly interpolation_percent: number;
}

export interface LoadErrors {
  readonly force_N: number;
  readonly repeatability_percent: number | null;
  readonly reversibility_percent: number | null;
  readonly interpolation_percent: number;
}

/**
 * Class limits in per cent, each error's magnitude at most: repeatability without rotation, interpolation, zero,
 * reversibility. Source: ISO 376, from memory; the standard also asks for rotated runs, which a rig's built-in cell
 * does not allow, so a class named here is an orientation and no certificate.
 */
const iso376: readonly (readonly [string, number, number, number, number])[] = [
  ['00', 0.025, 0.025, 0.012, 0.07],
  ['0.5', 0.05, 0.05, 0.025, 0.15],
  ['1', 0.1, 0.1, 0.05, 0.3],
  ['2', 0.2, 0.2, 0.1, 0.5],
];

/**
 * Class limits of a testing machine's force in per cent: indication q, repeatability b, reversibility v, zero f0.
 * Source: ISO 7500-1:2018, limits as in public tables of it; formulas from memory.
 */
const iso7500: readonly (readonly [string, number, number, number, number])[] = [
  ['0.5', 0.5, 0.5, 0.75, 0.05],
  ['1', 1, 1, 1.5, 0.1],
  ['2', 2, 2, 3, 0.2],
  ['3', 3, 3, 4.5, 0.3],
];

/** Errors at each load, in the order of the loads. */
export function errorsByLoad(runs: readonly LoadSeries[], scale: Scale): LoadErrors[] {
  const loads = [...new Set(runs.flatMap(({ points }) => points.map(({ value }) => value)))];
  return loads
    .sort((a, b) => a - b)
    .map((force_N) => {
      const at = (direction: 'up' | 'down') =>
        runs.map(
          ({ points }) =>
            points.find((point) => point.value === force_N && point.direction === direction)
              ?.deflection_counts ?? null,
        );
      const [up, down] = [at('up'), at('down')];
      const rising = up.filter((value) => value !== null);
      const seen = rising.length > 0 ? rising : down.filter((value) => value !== null);
      const mean = seen.reduce((a, b) => a + b, 0) / seen.length;
      const returns = up.flatMap((there, i) => {
        const back = down[i];
        return there === null || back === null ? [] : [(100 * (back - there)) / there];
      });
      const onCurve = countsOf(force_N, scale) - scale.zero_counts;
      return {
        force_N,
        repeatability_percent:
          rising.length > 1 ? Math.abs((100 * (Math.max(...rising) - Math.min(...rising))) / mean) : null,
        reversibility_percent:
          returns.length > 0 ? returns.reduce((a, b) => a + b, 0) / returns.length : null,
        interpolation_percent: (100 * (mean - onCurve)) / onCurve,
      };
    });
}

/** The worst error over the loads, of each kind; the zero error is the worst of the runs. */
export function worstErrors(runs: readonly LoadSeries[], byLoad: readonly LoadErrors[]): ForceErrors {
  const worst = (values: readonly (number | null)[]): number | null =>
    values.reduce<number | null>(
      (most, value) => (value !== null && Math.abs(value) >= Math.abs(most ?? 0) ? value : most),
      null,
    );
  const zeros = runs.map(({ zero_counts, zeroAtEnd_counts, points }) => {
    const largest = points.reduce((most, { deflection_counts: d }) => Math.max(most, Math.abs(d)), 0);
    return zero_counts === null || zeroAtEnd_counts === null || largest === 0
      ? null
      : (100 * (zeroAtEnd_counts - zero_counts)) / largest;
  });
  return {
    repeatability_percent: worst(byLoad.map((load) => load.repeatability_percent)),
    reversibility_percent: worst(byLoad.map((load) => load.reversibility_percent)),
    zero_percent: worst(zeros),
    interpolation_percent: worst(byLoad.map((load) => load.interpolation_percent)) ?? 0,
  };
}

/** Best class whose limits all errors keep, by each standard; null where one was not measured or none is kept. */
export function forceClasses(
  errors: ForceErrors,
  indication_percent: number,
): { readonly iso376: string | null; readonly iso7500: string | null } {
  const { repeatability_percent: b, reversibility_percent: v, zero_percent: f0 } = errors;
  if (b === null || v === null || f0 === null) return { iso376: null, iso7500: null };
  const keeps = (values: readonly number[], limits: readonly number[]) =>
    values.every((value, i) => Math.abs(value) <= limits[i]);
  const best = (table: typeof iso376, values: readonly [number, number, number, number]): string | null =>
    table.find(([, ...limits]) => keeps(values, limits))?.[0] ?? null;
  return {
    iso376: best(iso376, [b, errors.interpolation_percent, f0, v]),
    iso7500: best(iso7500, [indication_percent, b, v, f0]),
  };
}
