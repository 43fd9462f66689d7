import { estimateOf } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { type CurveChoice, compareCurves, fitCurve } from './curve-choice.js';
import {
  errorsByLoad,
  type ForceErrors,
  forceClasses,
  type LoadErrors,
  worstErrors,
} from './force-errors.js';
import { type KnownReading, type LoadSeries, loadSeries } from './load-series.js';
import { quantityOf, type Scale, scaleOfPolynomial } from './scale.js';

/** A channel calibrated with known values. */
export interface ScaleCalibration {
  readonly scale: Scale;
  /** Quantity per count with the reference's own uncertainty. */
  readonly perCount: Estimate;
  /** Standard deviation of a single reading about the curve, in the unit of the quantity, both ways included. */
  readonly standardUncertainty: number;
  readonly choice: CurveChoice;
  readonly runs: readonly LoadSeries[];
}

export interface ForceCalibration extends ScaleCalibration {
  readonly errors: ForceErrors;
  readonly errorsByLoad: readonly LoadErrors[];
  /** Orientation only, see force-errors.ts. */
  readonly classes: { readonly iso376: string | null; readonly iso7500: string | null };
  /** Slope in pull less slope in push, over push; null where only one way was loaded. */
  readonly pullLessPush_percent: Estimate | null;
}

export type ScaleRefusal = Refusal<
  'too-few-values' | 'not-finite' | 'no-change' | 'no-zero' | 'falls-back' | 'bad-uncertainty'
>;
export type ForceCalibrationOutcome =
  | { readonly ok: true; readonly calibration: ForceCalibration }
  | { readonly ok: false; readonly refusal: ScaleRefusal };
export type ScaleOutcome =
  | { readonly ok: true; readonly calibration: ScaleCalibration }
  | { readonly ok: false; readonly refusal: ScaleRefusal };

export const fewestLoads = 5;

/**
 * Calibrates a force channel with known forces, best at least five up and down again in three runs.
 * @param readings in the order taken; a run begins with nothing on the cell
 * @param referenceUncertainty relative standard uncertainty common to all forces: masses and gravity
 * @returns scale, its uncertainty and the errors in the terms of ISO 376, or what is missing
 * Numerical notes: whether the scale bends is judged on the way up alone, so that a cell that lags behind is not taken
 *   for a bent one, and a bend that the references' uncertainty could feign is left out; the scale itself goes through both ways. All deflections count from their run's own zero.
 */
export function calibrateForce(
  readings: readonly KnownReading[],
  referenceUncertainty: number,
): ForceCalibrationOutcome {
  const outcome = calibrateScale(readings, referenceUncertainty, fewestLoads);
  if (!outcome.ok) return outcome;
  const { runs, scale } = outcome.calibration;
  const byLoad = errorsByLoad(runs, scale);
  const errors = worstErrors(runs, byLoad);
  const indication_percent = byLoad.reduce((worst, { force_N }) => {
    const values = runs.flatMap(({ points }) =>
      points
        .filter(({ value, direction }) => value === force_N && direction === 'up')
        .map(({ deflection_counts }) => quantityOf(deflection_counts + scale.zero_counts, scale)),
    );
    if (values.length === 0) return worst;
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    return Math.max(worst, Math.abs((100 * (mean - force_N)) / force_N));
  }, 0);
  return {
    ok: true,
    calibration: {
      ...outcome.calibration,
      errors,
      errorsByLoad: byLoad,
      classes: forceClasses(errors, indication_percent),
      pullLessPush_percent: pullLessPush(runs),
    },
  };
}

/**
 * Calibrates any channel with known values of its quantity.
 * @param fewest different values, zero not counted
 */
export function calibrateScale(
  readings: readonly KnownReading[],
  referenceUncertainty: number,
  fewest: number,
): ScaleOutcome {
  const refusal = refuse(readings, referenceUncertainty, fewest);
  if (refusal) return { ok: false, refusal };
  const runs = loadSeries(readings);
  const zeros = runs.map(({ zero_counts }) => zero_counts!);
  const zero_counts = zeros.reduce((a, b) => a + b, 0) / zeros.length;
  const points = runs.flatMap(({ points: own }) => own);
  const rising = points.filter(({ direction }) => direction === 'up');
  const choice = compareCurves(...columnsOf(rising.length >= fewest ? rising : points));
  const bent = choice.chosen === 'quadratic' && isWorthABend(choice, points, referenceUncertainty);
  const curve = fitCurve(...columnsOf(points), bent ? 'quadratic' : 'straight');
  const { perCount, bend, zero_counts: shift } = scaleOfPolynomial(curve.coefficients);
  const scale: Scale = { perCount, bend, zero_counts: zero_counts + shift };
  const size = Math.abs(perCount);
  const relative = Math.hypot(curve.standardErrors[1] * size, referenceUncertainty);
  return {
    ok: true,
    calibration: {
      scale,
      perCount: estimateOf(perCount, size * relative, curve.degreesOfFreedom),
      standardUncertainty: curve.residualSd * size,
      choice,
      runs,
    },
  };
}

/**
 * Whether a bend is more than the references may have feigned: how far its parabola sags from the line through its
 * ends, against two standard uncertainties of a reference at mid-range.
 */
function isWorthABend(
  { quadratic }: CurveChoice,
  points: LoadSeries['points'],
  referenceUncertainty: number,
): boolean {
  const values = points.map(({ value }) => value);
  const range = Math.max(0, ...values) - Math.min(0, ...values);
  const [, linear, square] = quadratic!.coefficients;
  return (Math.abs(square / linear) * range ** 2) / 8 > 2 * referenceUncertainty * (range / 2);
}

function columnsOf(points: LoadSeries['points']): [Float64Array, Float64Array] {
  return [
    Float64Array.from(points, ({ value }) => value),
    Float64Array.from(points, ({ deflection_counts }) => deflection_counts),
  ];
}

/** A cell may answer a pull and a push by different amounts; slopes through zero of each way tell. */
function pullLessPush(runs: readonly LoadSeries[]): Estimate | null {
  const points = runs.flatMap(({ points: own }) => own);
  const slope = (sign: 1 | -1) => {
    const own = points.filter(({ value }) => Math.sign(value) === sign);
    const squares = own.reduce((sum, { value }) => sum + value * value, 0);
    const value = own.reduce((sum, point) => sum + point.value * point.deflection_counts, 0) / squares;
    const left = own.reduce((sum, point) => sum + (point.deflection_counts - value * point.value) ** 2, 0);
    return { n: own.length, value, variance: left / (own.length - 1) / squares };
  };
  const [push, pull] = [slope(1), slope(-1)];
  if (push.n < 2 || pull.n < 2) return null;
  return estimateOf(
    (100 * (pull.value - push.value)) / push.value,
    (100 * Math.sqrt(push.variance + pull.variance)) / Math.abs(push.value),
    push.n + pull.n - 2,
  );
}

function refuse(
  readings: readonly KnownReading[],
  referenceUncertainty: number,
  fewest: number,
): ScaleRefusal | null {
  const make = (code: ScaleRefusal['code'], found: string, wanted: string): ScaleRefusal => ({
    code,
    found,
    wanted,
  });
  if (!(referenceUncertainty >= 0 && referenceUncertainty < 0.5))
    return make('bad-uncertainty', `a relative uncertainty of ${referenceUncertainty}`, 'one from 0 to 0.5');
  if (
    !readings.every(({ value, reading_counts }) => Number.isFinite(value) && Number.isFinite(reading_counts))
  )
    return make('not-finite', 'a value or reading that is not a number', 'finite numbers');
  const values = new Set(readings.map(({ value }) => value).filter((value) => value !== 0));
  if (values.size < fewest)
    return make('too-few-values', `${values.size} different values`, `at least ${fewest}, zero not counted`);
  const runs = loadSeries(readings);
  const without = runs.find(({ zero_counts }) => zero_counts === null);
  if (without)
    return make(
      'no-zero',
      `run ${without.series} without a reading at 0 first`,
      'a reading at 0 to begin with',
    );
  const [reference, deflection] = columnsOf(runs.flatMap(({ points }) => points));
  const slope = fitCurve(reference, deflection, 'straight').coefficients[1];
  const spread = Math.max(...deflection) - Math.min(...deflection);
  if (!(spread > 0 && slope !== 0))
    return make(
      'no-change',
      'the same reading at every value',
      'readings that follow the values: is the channel connected?',
    );
  const means = [...values]
    .sort((a, b) => a - b)
    .map((value) => {
      const own = deflection.filter((_, i) => reference[i] === value);
      return { value, mean: own.reduce((a, b) => a + b, 0) / own.length };
    });
  const back = means.findIndex(({ mean }, i) => i > 0 && (mean - means[i - 1].mean) * slope <= 0);
  if (back > 0)
    return make(
      'falls-back',
      `readings that do not go on from ${means[back - 1].value} to ${means[back].value}`,
      'readings that rise (or fall) all the way: was a value written down wrongly?',
    );
  return null;
}
