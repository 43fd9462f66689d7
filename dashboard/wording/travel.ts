import { type Estimate, scaleEstimate } from '../../analysis/index.js';
import type { Contact, TravelAnswer } from '../answers/index.js';
import { amountText, lengthText, valueText } from './amounts.js';
import { formatChosen, formatNumber, plusMinus } from './numbers.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** A shock's travel in sentences: how much there is, what ends it, what spacers leave. */
export function travelSentences(answer: TravelAnswer, units: DisplayUnits = metric): string[] {
  const { travel_mm, atLeast, contact, fullExtension } = answer;
  const mm = (estimate: Estimate) => amountText(estimate, 'length', units, 1e-3);
  const travel = mm(travel_mm);
  const first = contact
    ? `The shock has ${travel} of travel${atLeast ? ' from where the sweep began' : ''}: a ${contact.kind} stop touches at ${mm(contact.position_mm)}.`
    : `The shock has at least ${travel} of travel: no stop was felt within the sweep.`;
  return [
    first,
    ...(contact ? [stiffnessSentence(contact, units)] : []),
    fullExtension
      ? `At full extension something ${fullExtension.kind} holds it from ${mm(fullExtension.position_mm)} on.`
      : 'Its full extension was not felt: pull it gently out to the end if the whole travel matters.',
    ...spacerSentences(answer, units),
    ...touchSentences(answer, units),
  ];
}

function stiffnessSentence({ kind, stiffness_N_per_mm }: Contact, units: DisplayUnits): string {
  const stiffness = valueText(stiffness_N_per_mm, 'springRate', units, 1000);
  return kind === 'hard'
    ? `It is as stiff as the rig itself (${stiffness}): metal or hard plastic, without padding.`
    : `It gives with ${stiffness} where the sweep ended: rubber, foam or a bump stop.`;
}

function spacerSentences({ spacers }: TravelAnswer, units: DisplayUnits): string[] {
  if (!spacers) return [];
  const { underPiston_mm, outside_mm, down_mm, up_mm, travel_mm } = spacers;
  const chosen = (value_mm: number) => valueText(value_mm, 'length', units, 1e-3, formatChosen);
  const parts = [
    ...(underPiston_mm > 0 ? [`${chosen(underPiston_mm)} under the piston`] : []),
    ...(outside_mm > 0 ? [`${chosen(outside_mm)} outside the body`] : []),
  ];
  return [
    `With ${parts.length > 0 ? parts.join(' and ') : 'no spacers'} ${lengthText(travel_mm, units)} are left: ` +
      `${lengthText(down_mm, units)} down and ${lengthText(up_mm, units)} up from where the vehicle stands, at the shock.`,
    ...(down_mm === 0 ? ['The spacer holds the vehicle up: it stands at full extension.'] : []),
  ];
}

function touchSentences({ firstTouch, contact }: TravelAnswer, units: DisplayUnits): string[] {
  if (!firstTouch) return [];
  const margin = lengthText(Math.abs(firstTouch.margin_mm), units);
  const unsure = contact ? '' : ' No stop was felt, so this counts with the travel that the sweep used.';
  if (firstTouch.first === 'stop')
    return [`The stop touches first: the piston has ${margin} left to the body.${unsure}`];
  if (firstTouch.first === 'piston')
    return [
      `The piston meets the body ${margin} before the stop touches: shorten the travel with a spacer outside the body, or pad the stop, because the piston has no padding.${unsure}`,
    ];
  return [
    `Piston and stop touch within ${margin} of each other, which calipers cannot tell apart: add a thin spacer outside the body.${unsure}`,
  ];
}

/** What was measured, one row a quantity. */
export function travelRows(
  { travel_mm, contact, fullExtension, from_mm, to_mm }: TravelAnswer,
  units: DisplayUnits = metric,
): { quantity: string; value: string; unit: string }[] {
  const length = displayScale('length', units);
  const rate = displayScale('springRate', units);
  const mm = length.factor * 1e-3;
  const touch = (name: string, found: Contact | null) => [
    {
      quantity: `${name} from`,
      value: found ? plusMinus(scaleEstimate(found.position_mm, mm), '') : 'not felt',
      unit: found ? length.unit : '',
    },
    ...(found
      ? [
          {
            quantity: `${name}, stiffness`,
            value: formatNumber(found.stiffness_N_per_mm * rate.factor * 1000, 2),
            unit: rate.unit,
          },
        ]
      : []),
  ];
  return [
    { quantity: 'Travel', value: plusMinus(scaleEstimate(travel_mm, mm), ''), unit: length.unit },
    ...touch('Stop', contact),
    ...touch('Full extension', fullExtension),
    { quantity: 'Sweep began at', value: formatNumber(from_mm * mm, 4), unit: length.unit },
    { quantity: 'Sweep ended at', value: formatNumber(to_mm * mm, 4), unit: length.unit },
  ];
}

/** What can hurt a rig when it is swept into a stop. */
export const sweepCaution =
  'Sweep into a stop by hand and gently: a motor that runs on bends the crank or ruins the cell.';
