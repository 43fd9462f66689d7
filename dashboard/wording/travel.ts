import type { Contact, TravelAnswer } from '../answers/index.js';
import { formatChosen, formatDecimals, formatNumber, plusMinus } from './numbers.js';

/** A shock's travel in sentences: how much there is, what ends it, what spacers leave. */
export function travelSentences(answer: TravelAnswer): string[] {
  const { travel_mm, atLeast, contact, fullExtension } = answer;
  const travel = plusMinus(travel_mm, 'mm');
  const first = contact
    ? `The shock has ${travel} of travel${atLeast ? ' from where the sweep began' : ''}: a ${contact.kind} stop touches at ${plusMinus(contact.position_mm, 'mm')}.`
    : `The shock has at least ${travel} of travel: no stop was felt within the sweep.`;
  return [
    first,
    ...(contact ? [stiffnessSentence(contact)] : []),
    fullExtension
      ? `At full extension something ${fullExtension.kind} holds it from ${plusMinus(fullExtension.position_mm, 'mm')} on.`
      : 'Its full extension was not felt: pull it gently out to the end if the whole travel matters.',
    ...spacerSentences(answer),
    ...touchSentences(answer),
  ];
}

function stiffnessSentence({ kind, stiffness_N_per_mm }: Contact): string {
  const stiffness = `${formatNumber(stiffness_N_per_mm, 2)} N/mm`;
  return kind === 'hard'
    ? `It is as stiff as the rig itself (${stiffness}): metal or hard plastic, without padding.`
    : `It gives with ${stiffness} where the sweep ended: rubber, foam or a bump stop.`;
}

function spacerSentences({ spacers }: TravelAnswer): string[] {
  if (!spacers) return [];
  const { underPiston_mm, outside_mm, down_mm, up_mm, travel_mm } = spacers;
  const parts = [
    ...(underPiston_mm > 0 ? [`${formatChosen(underPiston_mm)} mm under the piston`] : []),
    ...(outside_mm > 0 ? [`${formatChosen(outside_mm)} mm outside the body`] : []),
  ];
  return [
    `With ${parts.length > 0 ? parts.join(' and ') : 'no spacers'} ${formatDecimals(travel_mm, 1)} mm are left: ` +
      `${formatDecimals(down_mm, 1)} mm down and ${formatDecimals(up_mm, 1)} mm up from where the vehicle stands, at the shock.`,
    ...(down_mm === 0 ? ['The spacer holds the vehicle up: it stands at full extension.'] : []),
  ];
}

function touchSentences({ firstTouch, contact }: TravelAnswer): string[] {
  if (!firstTouch) return [];
  const margin = `${formatDecimals(Math.abs(firstTouch.margin_mm), 1)} mm`;
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
export function travelRows({
  travel_mm,
  contact,
  fullExtension,
  from_mm,
  to_mm,
}: TravelAnswer): { quantity: string; value: string; unit: string }[] {
  const touch = (name: string, found: Contact | null) => [
    {
      quantity: `${name} from`,
      value: found ? plusMinus(found.position_mm, '') : 'not felt',
      unit: found ? 'mm' : '',
    },
    ...(found
      ? [{ quantity: `${name}, stiffness`, value: formatNumber(found.stiffness_N_per_mm, 2), unit: 'N/mm' }]
      : []),
  ];
  return [
    { quantity: 'Travel', value: plusMinus(travel_mm, ''), unit: 'mm' },
    ...touch('Stop', contact),
    ...touch('Full extension', fullExtension),
    { quantity: 'Sweep began at', value: formatNumber(from_mm, 4), unit: 'mm' },
    { quantity: 'Sweep ended at', value: formatNumber(to_mm, 4), unit: 'mm' },
  ];
}

/** What can hurt a rig when it is swept into a stop. */
export const sweepCaution =
  'Sweep into a stop by hand and gently: a motor that runs on bends the crank or ruins the cell.';
