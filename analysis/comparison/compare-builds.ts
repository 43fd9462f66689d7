import { type KnownSpread, type RemountSpread, spreadFor } from '../curves/remounts.js';
import type { Comparison, Difference, RecordingAnalysis } from '../result.js';
import { resolvableStandardErrors } from './noncentral-t.js';
import {
  estimateWithCorrection,
  type PooledBuild,
  type PooledRemounts,
  poolRemounts,
} from './pool-remounts.js';
import { comparedQuantities, type Measured } from './quantities.js';

/**
 * Compares two builds, each measured in one or more remounts, quantity by quantity.
 * @param before, after one analysis per remount, at least one each
 * @param known spread between remounts from elsewhere, such as the rig's long-run spread
 * @param at_degC oil temperature to bring damping to; the mean of all recordings where nothing is said
 * @returns a difference (after less before) per quantity that at least one recording of each side supports
 */
export const compareBuilds = (
  before: readonly RecordingAnalysis[],
  after: readonly RecordingAnalysis[],
  known?: KnownSpread,
  at_degC?: number | null,
): Comparison => compareWithFirst([before, after], known, at_degC)[0]!;

/**
 * Compares any number of builds with the first of them. Remounts spread more than one recording shows, so the
 * recordings' values are compared, not their samples, with the spread pooled over all builds (`poolRemounts`).
 * @param builds one analysis per remount, at least two builds of at least one each
 * @param at_degC oil temperature to bring damping to, the mean of all recordings where nothing is said
 * @returns a comparison per later build, all damping brought to one temperature, or to none where a recording has none; judge them with `judgeTogether`
 * Numerical notes: errors of the temperature correction are common to both sides, so what enters a difference is the
 *   uncertainty of the corrections' difference, and remounts do not average it away.
 * Source: t with pooled variance, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.3 and 7.4.7
 */
export function compareWithFirst(
  builds: readonly (readonly RecordingAnalysis[])[],
  known?: KnownSpread,
  at_degC?: number | null,
): Comparison[] {
  if (builds.length < 2 || builds.some((remounts) => remounts.length === 0))
    throw new RangeError('a comparison needs at least two builds with a recording each');
  const mean_degC = meanTemperature(builds.flat());
  const temperature_degC = mean_degC === null ? null : (at_degC ?? mean_degC);
  const quantities = comparedQuantities.map(({ name, of }) => {
    const measured = builds.map((remounts) =>
      remounts.map((analysis) => of(analysis, temperature_degC)).filter((value) => value !== null),
    );
    return { name, measured, ...pooledOf(measured, spreadFor(known, name)) };
  });
  const [first, ...later] = builds;
  return later.map((remounts, k) => ({
    differences: quantities.flatMap(({ name, pooled, place }) => {
      const [before, after] = [place[0], place[k + 1]];
      return pooled && before !== null && after !== null
        ? [differenceOf(name, pooled, pooled.builds[before], pooled.builds[after])]
        : [];
    }),
    temperature_degC,
    remounts: { before: first.length, after: remounts.length },
  }));
}

/** Pools the builds that have the quantity; `place` is where each build is among them. */
function pooledOf(
  measured: readonly (readonly Measured[])[],
  known: RemountSpread | undefined,
): { pooled: PooledRemounts | null; place: (number | null)[] } {
  const having = measured.filter((values) => values.length > 0);
  return {
    pooled: having.length > 0 ? poolRemounts(having, known) : null,
    place: measured.map((values) => (values.length > 0 ? having.indexOf(values) : null)),
  };
}

function differenceOf(
  quantity: string,
  { degreesOfFreedom, basis }: PooledRemounts,
  before: PooledBuild,
  after: PooledBuild,
): Difference {
  const variance =
    before.standardDeviation ** 2 / before.remounts + after.standardDeviation ** 2 / after.remounts;
  const difference = estimateWithCorrection(
    after.value - before.value,
    variance,
    after.correction - before.correction,
    degreesOfFreedom,
  );
  return {
    quantity,
    before: before.mean,
    after: after.mean,
    difference,
    verdict: difference.high95 < 0 ? 'lower' : difference.low95 > 0 ? 'higher' : 'not-resolved',
    resolvable: resolvableStandardErrors(degreesOfFreedom) * difference.standardError,
    spread: {
      standardDeviation: Math.sqrt((before.standardDeviation ** 2 + after.standardDeviation ** 2) / 2),
      degreesOfFreedom,
      basis,
    },
  };
}

/** Mean of the recordings' temperatures; null unless every recording has one. */
function meanTemperature(analyses: readonly RecordingAnalysis[]): number | null {
  let sum = 0;
  for (const { temperature_degC } of analyses) {
    if (temperature_degC === null) return null;
    sum += temperature_degC;
  }
  return sum / analyses.length;
}
