import type { Direction, Estimate } from '../../analysis/index.js';
import type { OilAnswer, OilDocument, ShelfOilDocument } from '../answers/index.js';
import { signedPercent, temperatureSentence } from './match.js';
import { estimateText, formatChosen, formatNumber, plusMinus } from './numbers.js';
import { placeText, speedText } from './speeds.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** Below this share of the damping oil is a weak lever. */
const weakLever = 0.5;

/** Which oil, in sentences made from the numbers: the advice first, then why, then what oil cannot change. */
export function oilSentences(answer: OilAnswer, units: DisplayUnits = metric): string[] {
  // Without a shelf there is no advice yet, and what was found goes first.
  const first = [adviceSentence(answer), wantedSentence(answer)];
  return [
    ...(answer.advice === 'shelf-empty' ? first.reverse() : first),
    ...presentSentences(answer),
    ...bentSentences(answer.leftOut),
    ...dragSentences(answer, units),
    ...shapeSentences(answer, units),
    ...(answer.extrapolated
      ? ['The wanted speeds go beyond the measured ones, brought to that oil; there the curve is led on.']
      : []),
    ...(answer.temperatureAssumed
      ? [temperatureSentence(true, answer.temperature_degC.have ?? answer.temperature_degC.want)]
      : []),
  ];
}

/** "30 wt" (360 cSt): a label never comes without its viscosity. */
export const oilText = ({ label, viscosity_cSt }: OilDocument): string => {
  const viscosity = `${formatNumber(viscosity_cSt)} cSt`;
  return label === viscosity ? viscosity : `'${label}' (${viscosity})`;
};

function adviceSentence(answer: OilAnswer): string {
  const { advice, shelf, blend, viscosityRatio, restores } = answer;
  const [nearest] = shelf;
  const goal = restores === 'total' ? 'brings the former total force back' : 'reaches the target';
  switch (advice) {
    case 'keep-oil':
      return restores === 'total'
        ? 'Keep the oil: the total force is inside the tolerance as it is.'
        : 'Keep the oil: the damping is inside the tolerance as it is.';
    case 'shelf-oil':
      return (
        `Take ${oilText(nearest!)}: it ${goal} within the tolerance` +
        (nearest!.verdict === 'undecided'
          ? `, as far as its viscosity is known (${formatNumber(2 * nearest!.uncertainty_percent, 2)} % either way): measure the build with it.`
          : '.')
      );
    case 'blend':
      return (
        `Mix ${Math.round(100 * (1 - blend!.thickShare))} % ${quoted(blend!.thin)} with ` +
        `${Math.round(100 * blend!.thickShare)} % ${quoted(blend!.thick)} by volume, about ${formatNumber(blend!.viscosity_cSt)} cSt: ` +
        `no oil of the shelf alone ${goal} within the tolerance. Mixing rules are rough, so measure the blend.`
      );
    case 'drill':
      return (
        `No oil of the shelf ${goal}: even the thinnest, ${oilText(thinnest(shelf))}, is ` +
        `${overText(thinnest(shelf))} times as thick as wanted. Larger holes are the way.`
      );
    case 'thicker-oil-needed':
      return (
        `No oil of the shelf ${goal}: even the thickest, ${oilText(thickest(shelf))}, has only ` +
        `${overText(thickest(shelf))} times the wanted viscosity.`
      );
    case 'present-oil-unknown':
      return (
        `The wanted oil is ${plusMinus(viscosityRatio, '')} times as thick as the one in the shock. ` +
        'Say which that is, and the shelf is put in order.'
      );
    case 'shelf-empty':
      return 'The shelf is empty: enter the oils that you have, and the nearest is named.';
  }
}

function wantedSentence({ viscosityRatio, wantedViscosity_cSt, present }: OilAnswer): string {
  const ratio = `Wanted over present viscosity is ${intervalText(viscosityRatio)}`;
  return wantedViscosity_cSt && present
    ? `${ratio}: ${plusMinus(wantedViscosity_cSt, 'cSt')} at 25 °C in place of ${oilText(present)}.`
    : `${ratio}.`;
}

function presentSentences({ ifPresent }: OilAnswer): string[] {
  return ifPresent.map(
    ({ present, wantedViscosity_cSt, nearest }) =>
      `If ${quoted(present)} is in it now, ${formatNumber(wantedViscosity_cSt)} cSt are wanted, and ${quoted(nearest)} is nearest.`,
  );
}

/** Why a direction was not used. */
export const bentSentences = (leftOut: readonly Direction[]): string[] =>
  leftOut.map(
    (direction) =>
      `In ${direction} damping falls behind as speed rises, as it does where the oil cannot follow and never through holes: ` +
      'that direction was not used. Record slower strokes to have it back.',
  );

function dragSentences({ total, restores }: OilAnswer, units: DisplayUnits): string[] {
  if (!total) return [];
  const { factor, unit } = displayScale('force', units);
  const { dragLost_N, speeds, notRestoredBelow_m_per_s } = total;
  const lost = `${formatNumber(Math.abs(dragLost_N) * factor, 2)} ${unit}`;
  const missed = (['compression', 'rebound'] as const).filter((side) => notRestoredBelow_m_per_s[side] > 0);
  const drag = `The build drags ${lost} ${dragLost_N > 0 ? 'less' : 'more'} than the ${restores === 'total' ? 'former' : 'wanted'} one`;
  if (missed.length === 0) return [`${drag}; with that oil the total force agrees at every speed compared.`];
  const slowest = speeds
    .filter(({ restored }) => !restored)
    .reduce((a, b) => (Math.abs(b.velocity_m_per_s) < Math.abs(a.velocity_m_per_s) ? b : a));
  const miss = formatNumber(Math.abs(slowest.deviation_N) * factor, 2);
  return [
    `${drag}. No oil makes up for drag at low speed, since damping fades with speed and drag does not: up to ` +
      `${missed.map((side) => sideText(side, notRestoredBelow_m_per_s, units)).join(' and ')} the total force stays off, ` +
      `${placeText(slowest.velocity_m_per_s, units)} by ${miss} ${unit}.`,
  ];
}

const sideText = (side: Direction, upTo: Readonly<Record<Direction, number>>, units: DisplayUnits): string =>
  `${speedText(upTo[side], units)} in ${side}`;

function shapeSentences({ remaining, misfit, viscousShare }: OilAnswer, units: DisplayUnits): string[] {
  const shape =
    remaining && misfit !== null && Math.abs(remaining.worst.deviation_N.value) > remaining.worst.allowed_N
      ? [
          `With exactly that oil ${signedPercent(remaining.worst.deviation_percent)} would remain ` +
            `${placeText(remaining.worst.velocity_m_per_s, units)}: holes set the shape of the curve, oil does not.`,
        ]
      : [];
  const lever =
    viscousShare !== null && viscousShare < weakLever
      ? [
          `Only ${formatNumber(100 * viscousShare, 2)} % of the damping goes with viscosity at the fastest wanted speed: ` +
            'there oil is a weak lever and the holes decide.',
        ]
      : [];
  return [...shape, ...lever];
}

/** One row of the shelf, every cell ready to be shown. */
export interface ShelfRow {
  readonly label: string;
  readonly viscosity: string;
  readonly over: string;
  readonly worst: string;
  readonly verdict: string;
}

/** The shelf as rows of text, a blend after it where one is advised. */
export function shelfRows({ shelf, blend, advice }: OilAnswer, units: DisplayUnits = metric): ShelfRow[] {
  const row = (oil: ShelfOilDocument): ShelfRow => ({
    label: `${oil.label}${oil.basis === 'measured' ? ', measured' : ''}`,
    viscosity: formatChosen(oil.viscosity_cSt),
    over: oil.viscosityOverWanted ? plusMinus(oil.viscosityOverWanted, '') : '–',
    worst: oil.worst
      ? `${signedPercent(oil.worst.deviation_percent)} ${placeText(oil.worst.velocity_m_per_s, units)}${oil.worst.extrapolated ? ' *' : ''}`
      : '',
    verdict: oil.verdict ?? '',
  });
  return [...shelf, ...(blend && advice === 'blend' ? [blend] : [])].map(row);
}

const overText = ({ viscosityOverWanted }: ShelfOilDocument): string =>
  formatNumber(viscosityOverWanted?.value ?? Number.NaN, 2);

const thinnest = (shelf: readonly ShelfOilDocument[]): ShelfOilDocument =>
  shelf.reduce((a, b) => (b.viscosity_cSt < a.viscosity_cSt ? b : a));
const thickest = (shelf: readonly ShelfOilDocument[]): ShelfOilDocument =>
  shelf.reduce((a, b) => (b.viscosity_cSt > a.viscosity_cSt ? b : a));

const quoted = (label: string): string => `'${label}'`;

/** "1.23 (95 %: 1.19 to 1.27)" */
export function intervalText(estimate: Estimate): string {
  const { value, low, high } = estimateText(estimate);
  return `${value} (95 %: ${low} to ${high})`;
}
