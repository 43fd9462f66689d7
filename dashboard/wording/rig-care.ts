import {
  type CrankCalibration,
  type Estimate,
  type ForceCalibration,
  type LengthCalibration,
  type SpringCheck,
  scaleEstimate,
  type TemperatureDrift,
  type UnloadedRun,
} from '../../analysis/index.js';
import type { CheckAnswer, CheckedQuantity } from '../answers/index.js';
import { count, formatChosen, formatNumber, plusMinus, sentenceCase } from './numbers.js';
import { type Dimension, type DisplayScale, type DisplayUnits, displayScale, metric } from './units.js';

/** What a person is asked to do, as the acquisition says it. */
export interface StepToDo {
  readonly what: 'hang-mass' | 'hold-length' | 'turn-crank' | 'unload' | 'push' | 'extend' | 'compress';
  readonly value: number;
  readonly direction: 'up' | 'down';
  readonly run: number;
  readonly runs: number;
  readonly step: number;
  readonly steps: number;
}

/** What hurts or breaks, before anything is hung on a cell. */
export const loadCautions: readonly string[] = [
  'Take the shock off and cut the power of the drive at its switch.',
  'Hang masses low over something soft, never over a foot, and keep fingers out from under them: a hook slips.',
  'Stay below the load printed on the cell. A cell that was overloaded does not come back, and reads wrongly without saying so.',
];

/** The same for the slide and the crank. */
export const crankCautions: readonly string[] = [
  'Cut the power of the drive at its switch before you turn the crank by hand.',
  'Keep fingers out of crank, rod and slide: they pinch, by hand as well.',
];

/** What can hurt or break at a step, in a few words beside it. */
export function stepCaution({ what, value }: Pick<StepToDo, 'what' | 'value'>): string {
  switch (what) {
    case 'hang-mass':
      return value === 0
        ? 'One by one, and nothing over a foot.'
        : 'Low, over something soft, fingers out from under it; never more than is printed on the cell.';
    case 'push':
      return 'Gently: far below the load printed on the cell.';
    case 'unload':
      return 'With the drive’s power cut at its switch.';
    case 'hold-length':
    case 'turn-crank':
    case 'extend':
    case 'compress':
      return 'By hand, with the drive’s power cut at its switch; crank, rod and slide pinch. Lean on no stop: that loads the cell.';
  }
}

/** "Step 3 of 33: hang 200 g (on the way up, run 1 of 3)." */
export function stepSentence(step: StepToDo): string {
  const way = step.runs > 1 || step.what === 'hang-mass' || step.what === 'hold-length';
  const where = way
    ? ` (on the way ${step.direction}${step.runs > 1 ? `, run ${step.run} of ${step.runs}` : ''})`
    : '';
  return `Step ${step.step} of ${step.steps}: ${task(step)}${where}.`;
}

function task({ what, value }: StepToDo): string {
  switch (what) {
    case 'hang-mass':
      return value === 0
        ? 'take everything off the cell'
        : `hang ${formatChosen(1000 * value, 6)} g, its holder included`;
    case 'hold-length':
      return value === 0
        ? 'bring the slide to full extension'
        : `set the slide ${formatChosen(1000 * value, 5)} mm in from full extension`;
    case 'turn-crank':
      return `turn the crank to about ${formatChosen(360 * value)}° from full extension and measure where the slide stands`;
    case 'unload':
      return 'take the shock off, so that nothing touches the cell';
    case 'push':
      return 'load the cell the way a shock pushes back, by a small mass or a steady finger, and hold it';
    case 'extend':
      return 'bring the slide to full extension';
    case 'compress':
      return 'move the slide some millimetres into compression and hold it';
  }
}

export interface CareRow {
  readonly quantity: string;
  readonly value: string;
  readonly unit: string;
}

const percent = (quantity: string, value: number | null): CareRow => ({
  quantity,
  value: value === null ? 'not measured' : formatNumber(value, 2),
  unit: value === null ? '' : '%',
});

/** "1000 counts are 45.66 ± 0.02 mN; a straight line holds." */
export function forceSentence({
  perCount,
  choice,
  scale,
}: Pick<ForceCalibration, 'perCount' | 'choice' | 'scale'>): string {
  const size = plusMinus(scaleEstimate(perCount, 1e6), 'mN');
  return `1000 counts are ${size}; ${shapeWords(choice, scale.bend, 'N')}.`;
}

export function lengthSentence({
  perCount,
  choice,
  scale,
}: Pick<LengthCalibration, 'perCount' | 'choice' | 'scale'>): string {
  const size = plusMinus(scaleEstimate(perCount, 1e6), 'mm');
  return `1000 counts are ${size}; ${shapeWords(choice, scale.bend, 'm')}.`;
}

function shapeWords({ chosen, straight }: ForceCalibration['choice'], bend: number, unit: string): string {
  if (bend !== 0)
    return `the scale bends by ${formatNumber(100 * bend, 2)} % per ${unit}, and the bend is taken into account`;
  if (chosen === 'quadratic')
    return "the readings bend by less than the references' own uncertainty, so a straight line is taken";
  if (straight.lackOfFit && straight.lackOfFit.probability < 0.05)
    return 'a straight line misses the readings, and no bend explains it: look at the table';
  return straight.lackOfFit
    ? 'a straight line holds'
    : 'a straight line is taken, since nothing was read twice that could speak against it';
}

/** The errors of a force channel in the terms of ISO 376, with what they are. */
export function forceRows(
  { errors, classes, standardUncertainty, pullLessPush_percent }: Omit<ForceCalibration, 'runs'>,
  drift: TemperatureDrift | null,
): CareRow[] {
  const rows = [
    percent("Repeatability b', worst load", errors.repeatability_percent),
    percent('Reversibility v, worst load', errors.reversibility_percent),
    percent('Zero error f0, worst run', errors.zero_percent),
    percent('Interpolation error fc, worst load', errors.interpolation_percent),
    { quantity: 'Scatter of a single force', value: formatNumber(1000 * standardUncertainty, 2), unit: 'mN' },
    {
      quantity: 'Would keep class, ISO 7500-1 / ISO 376',
      value: `${classes.iso7500 ?? '–'} / ${classes.iso376 ?? '–'}`,
      unit: '',
    },
  ];
  if (pullLessPush_percent)
    rows.push({
      quantity: 'Slope in pull less in push',
      value: plusMinus(pullLessPush_percent, ''),
      unit: '%',
    });
  if (drift)
    rows.push(
      {
        quantity: 'Drift of zero',
        value: plusMinus(scaleEstimate(drift.zero_per_K, 1000), ''),
        unit: 'mN/K',
      },
      { quantity: 'Drift of span', value: plusMinus(drift.span_percent_per_K, ''), unit: '%/K' },
    );
  return rows;
}

export function crankSentence({ radius_m, scale, standardUncertainty_m }: CrankCalibration): string {
  const stroke = plusMinus(scaleEstimate(radius_m, 2000), 'mm');
  return `The crank strokes ${stroke}, full extension is at ${formatNumber(scale.zero_counts, 5)} counts, and measured positions scatter by ${formatNumber(1000 * standardUncertainty_m, 2)} mm about its geometry.`;
}

export function lagSentence({ lag_s, speeds_rev_per_s }: SpringCheck): string {
  const [slow, fast] = speeds_rev_per_s.map((speed) => formatChosen(speed));
  return `The force comes ${plusMinus(scaleEstimate(lag_s, 1000), 'ms')} behind the position, beyond the converter's own delay (${slow} to ${fast} rev/s).`;
}

export function lagRows({ springRate_N_per_m, movingMass_kg, friction_N, cycles }: SpringCheck): CareRow[] {
  const row = (quantity: string, estimate: Estimate, unit: string) => ({
    quantity,
    value: plusMinus(estimate, ''),
    unit,
  });
  return [
    row('Spring rate', scaleEstimate(springRate_N_per_m, 1e-3), 'N/mm'),
    row('Moving mass, spring included', scaleEstimate(movingMass_kg, 1000), 'g'),
    row('Friction of spring and slide', friction_N, 'N'),
    { quantity: 'Cycles used', value: String(cycles), unit: '' },
  ];
}

export function movingMassSentence({ movingMass_kg, cycles }: UnloadedRun): string {
  return `${plusMinus(scaleEstimate(movingMass_kg, 1000), 'g')} move between the cell and the shock, from ${count(cycles, 'cycle')}.`;
}

const checkedNames: Readonly<
  Record<string, { readonly name: string; readonly dimension: Dimension; readonly toSI: number }>
> = {
  rate_N_per_mm: { name: 'Spring rate', dimension: 'springRate', toSI: 1000 },
  friction_N: { name: 'Drag', dimension: 'force', toSI: 1 },
};

/** Unit that a checked quantity is shown in, and the factor from the answer's numbers to it. */
export function checkedScale(quantity: string, units: DisplayUnits): DisplayScale {
  const { dimension = 'none', toSI = 1 } = checkedNames[quantity] ?? {};
  const { unit, factor } = displayScale(dimension, units);
  return { unit, factor: factor * toSI };
}

/** What the check standard says about the rig: what to do first, why after. */
export function checkSentence({ verdict, quantities }: CheckAnswer): string {
  const found = (is: (quantity: CheckedQuantity) => boolean) =>
    quantities
      .filter(is)
      .map(({ quantity, offset_percent }) => {
        const { name } = checkedNames[quantity] ?? { name: quantity };
        return `${name.toLowerCase()}${offset_percent === null ? '' : ` ${formatNumber(offset_percent, 2)} % from its usual value`}`;
      })
      .join(', ');
  switch (verdict) {
    case 'learning': {
      const toGo = Math.max(...quantities.map(({ sittingsToGo }) => sittingsToGo));
      return `Measured. ${sentenceCase(count(toGo, 'more sitting'))} and the check standard can tell when the rig changes.`;
    }
    case 'steady':
      return 'The rig measures as it did: the check standard is within its limits.';
    case 'drifting':
      return `Calibrate again before results are compared with old ones: sitting by sitting the check standard has moved (${found((q) => q.verdict === 'drifting')}), though no single value is beyond its limits yet.`;
    case 'outside':
      return `Do not measure shocks yet: the check standard is outside its limits (${found((q) => q.verdict === 'outside')}). Look for a loose mount, a rubbing cable or an overloaded cell, then check again.`;
    case 'spread':
      return `Look at how the check standard is mounted: its remounts differ more than they used to (${found((q) => q.spreadIsLarger)}).`;
  }
}

/** One row a quantity: this sitting, the usual value with its limits, the moving average with its own. */
export function checkRows({ quantities }: CheckAnswer, units: DisplayUnits = metric) {
  return quantities.map((checked) => {
    const { name } = checkedNames[checked.quantity] ?? { name: checked.quantity };
    const { unit, factor } = checkedScale(checked.quantity, units);
    const digits = (value: number | null | undefined) =>
      value === null || value === undefined ? '–' : formatNumber(value * factor, 4);
    const { limits, averageLimits } = checked;
    return {
      quantity: `${name}, ${unit}`,
      sittings: String(checked.sittings.length),
      newest: digits(checked.newest),
      limits: limits ? `${digits(limits.low)} to ${digits(limits.high)}` : '–',
      average: digits(checked.average),
      averageLimits: averageLimits ? `${digits(averageLimits.low)} to ${digits(averageLimits.high)}` : '–',
      verdict: checked.spreadIsLarger ? `${checked.verdict}, spread larger` : checked.verdict,
    };
  });
}
