import { fromNewtonPerMetre, type SpringRateUnit, scaleEstimate } from '../../analysis/index.js';
import type { SpringAnswer } from '../answers/index.js';
import { amountText, lengthText, valueText } from './amounts.js';
import { signedPercent } from './match.js';
import { estimateText, formatChosen, formatNumber, plusMinus } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** Springs are bought by these; rates are shown in all of them. */
const shownUnits: readonly SpringRateUnit[] = ['N/mm', 'lbf/in', 'gf/mm'];

const perUnit = (unit: SpringRateUnit): number => fromNewtonPerMetre(1000, unit);

/** The same in the unit that springs are sold by elsewhere: "1.2 lbf/in". */
export function otherRate(rate_N_per_mm: number, units: DisplayUnits): string {
  const other = displayScale('springRate', units).unit === 'lbf/in' ? 'N/mm' : 'lbf/in';
  return `${formatNumber(rate_N_per_mm * perUnit(other), 3)} ${other}`;
}

/** A spring in sentences: its rate first, then its preload and what was seen on the way. */
export function springSentences(answer: SpringAnswer, units: DisplayUnits = metric): string[] {
  const { rate_N_per_mm, preload_N, friction_N, slack_mm, bound, bareRate_N_per_mm } = answer;
  const scale = displayScale('springRate', units);
  const rate = estimateText(scaleEstimate(rate_N_per_mm, scale.factor * 1000));
  const start = preload_N
    ? `, and it begins with ${amountText(preload_N, 'force', units)}`
    : '; its preload is not known from one way only, because friction is in the force: pull there and back';
  return [
    `The spring has ${rate.value} ${scale.unit} (95 %: ${rate.low} to ${rate.high}), which is ${otherRate(rate_N_per_mm.value, units)}${start}.`,
    ...(friction_N
      ? [
          `Friction of ${amountText(friction_N, 'force', units)} each way was taken out by averaging both ways.`,
        ]
      : ['Friction that changes along the travel would count as rate here.']),
    ...(slack_mm > 0
      ? [`It is touched only after ${valueText(slack_mm, 'length', units, 1e-3)}; that gap was left out.`]
      : []),
    ...(bound
      ? [
          `From ${lengthText(answer.to_mm, units)} on something stiffer joins in, coils that touch or a stop; that was left out.`,
        ]
      : []),
    ...progressionSentence(answer),
    bareRate_N_per_mm
      ? `The shock without it, ${amountText(bareRate_N_per_mm, 'springRate', units, 1000)}, was taken off.`
      : 'On a shock this includes its gas; pull the shock without its spring too to take that off.',
    ...labelSentences(answer),
    ...wireSentences(answer, units),
    ...rideSentences(answer, units),
  ];
}

function progressionSentence({ progression_percent }: SpringAnswer): string[] {
  const { value, low95, high95 } = progression_percent;
  if (low95 <= 5 && high95 >= -5) return [];
  const text = formatNumber(Math.abs(value), 2);
  return [
    `Its rate ${value > 0 ? 'rises' : 'falls'} by ${text} % over its travel; the rate given is that at the middle.`,
  ];
}

function labelSentences({ label }: SpringAnswer): string[] {
  if (!label) return [];
  const { verdict, deviation_percent, printed, unit, readsLike } = label;
  const print = `${formatChosen(printed, 4)} ${unit}`;
  const off = signedPercent(deviation_percent);
  if (verdict === 'agrees') return [`It agrees with its label of ${print}: ${off}.`];
  if (verdict === 'undecided')
    return [`Whether it agrees with its label of ${print} is undecided: ${off}. Pull it a few more times.`];
  return [
    `It differs from its label of ${print}: ${off}.`,
    ...(readsLike ? [`Read in ${readsLike} the label would agree.`] : []),
  ];
}

function wireSentences({ wire }: SpringAnswer, units: DisplayUnits): string[] {
  if (!wire) return [];
  return [
    `Wire and coils would make ${valueText(wire.rate_N_per_mm, 'springRate', units, 1000, formatNumber)}; the spring measures ${formatNumber(Math.abs(wire.deviation_percent), 2)} % ${wire.deviation_percent >= 0 ? 'more' : 'less'}. One per cent of the wire's diameter is four of the rate, so believe the pull.`,
  ];
}

function rideSentences({ ride }: SpringAnswer, units: DisplayUnits): string[] {
  if (!ride) return [];
  const { before_kg, after_kg, wanted_N_per_mm, shelf } = ride;
  const masses = `from ${formatChosen(1000 * before_kg, 4)} to ${formatChosen(1000 * after_kg, 4)} g`;
  const [nearest] = shelf;
  return [
    `${masses.charAt(0).toUpperCase()}${masses.slice(1)} on this corner, ${amountText(wanted_N_per_mm, 'springRate', units, 1000)} (${otherRate(wanted_N_per_mm.value, units)}) keeps ride frequency and sag.`,
    nearest
      ? `Of the shelf ${nearest.spring.label} comes nearest: the frequency changes by ${formatNumber(Math.abs(nearest.frequencyChange_percent), 2)} % ${nearest.frequencyChange_percent >= 0 ? 'upwards' : 'downwards'}.`
      : 'There are no springs on the shelf to choose from.',
  ];
}

/** The rate in the units that springs are sold by, and what else was measured. */
export function springRows(
  answer: SpringAnswer,
  units: DisplayUnits = metric,
): { quantity: string; value: string; unit: string }[] {
  const force = displayScale('force', units);
  const { rate_N_per_mm, preload_N, friction_N, progression_percent } = answer;
  return [
    ...shownUnits.map((unit) => ({
      quantity: 'Rate',
      value: plusMinus(scaleEstimate(rate_N_per_mm, perUnit(unit)), ''),
      unit,
    })),
    {
      quantity: 'Preload',
      value: preload_N ? plusMinus(scaleEstimate(preload_N, force.factor), '') : 'not known',
      unit: preload_N ? force.unit : '',
    },
    {
      quantity: 'Friction, each way',
      value: friction_N ? plusMinus(scaleEstimate(friction_N, force.factor), '') : 'not known',
      unit: friction_N ? force.unit : '',
    },
    { quantity: 'Rise of the rate', value: plusMinus(progression_percent, ''), unit: '%' },
  ];
}

/** What can hurt when springs are handled. */
export const springCaution =
  'Springs and clips fly when they slip: wear eye protection while taking them off and on.';
