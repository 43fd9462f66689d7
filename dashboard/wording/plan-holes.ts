import type { Beyond } from '../../analysis/index.js';
import type { DrillDocument, HoleAnswer } from '../answers/index.js';
import { signedPercent, temperatureSentence } from './match.js';
import { count, formatDecimals, formatNumber, plusMinus } from './numbers.js';
import { bentSentences, oilText } from './plan-oil.js';
import { placeText } from './speeds.js';
import { type DisplayUnits, metric } from './units.js';

/** What can hurt; shown wherever drilling is advised. */
export const drillingCaution =
  'Clamp the piston in a vise or a collet, never in the hand; wear eye protection; deburr, and wash the chips out.';

/** Which hole and which drill, in sentences made from the numbers; the first says what to do. */
export function holeSentences(answer: HoleAnswer, units: DisplayUnits = metric): string[] {
  return [
    adviceSentence(answer),
    ...overshootSentences(answer),
    ...oilSentences(answer),
    ...bentSentences(answer.leftOut),
    ...answer.beyond.map((what) => beyondSentences[what]),
    ...remainingSentences(answer, units),
    ...(answer.temperatureAssumed
      ? [temperatureSentence(true, answer.temperature_degC.have ?? answer.temperature_degC.want)]
      : []),
  ];
}

function adviceSentence(answer: HoleAnswer): string {
  const { advice, hole_mm, drills, piston } = answer;
  const wanted = plusMinus(hole_mm, 'mm');
  const [first] = drills;
  switch (advice) {
    case 'keep-holes':
      return hole_mm.low95 <= piston.hole_mm && piston.hole_mm <= hole_mm.high95
        ? `Leave the piston as it is: ${wanted} would be right, and ${formatNumber(piston.hole_mm)} mm are there.`
        : 'Leave the piston as it is: the damping is inside the tolerance.';
    case 'drill':
      return (
        `${wantedText(answer)} ${wanted}. Take the ${drillText(first!)} drill first, ` +
        'which stays below that; measure, and only then decide about the next: a hole does not shrink again.'
      );
    case 'no-drill-between':
      return (
        `${wantedText(answer)} ${wanted}, and no drill lies between that and the present ${formatNumber(piston.hole_mm)} mm: ` +
        'every drill overshoots. A reamer, or another oil, gets nearer.'
      );
    case 'holes-too-large':
      return (
        `The holes are too large already: ${wanted} would be right, ${formatNumber(piston.hole_mm)} mm are there. ` +
        'Thicker oil is the way, or a new piston.'
      );
  }
}

function wantedText({ change, piston }: HoleAnswer): string {
  const all = [piston, ...(piston.more_holes ?? [])].reduce((sum, { holes }) => sum + holes, 0);
  if (change.kind === 'add') return `Add ${count(change.count, 'hole')} of`;
  if (change.kind === 'some') return `Bring ${count(change.count, 'hole')} of ${all} to`;
  return all === 1 ? 'Bring the hole to' : `Bring all ${count(all, 'hole')} to`;
}

const drillText = ({ name, diameter_mm }: DrillDocument): string =>
  name.endsWith('mm') ? name : `${name} (${formatDecimals(diameter_mm, 3)} mm)`;

function overshootSentences({ drills, advice: toDo }: HoleAnswer): string[] {
  if (toDo === 'keep-holes') return [];
  const next = drills.find(({ bringsBack }) => bringsBack !== null);
  if (!next?.bringsBack) return [];
  const { viscosityRatio, oil, advice } = next.bringsBack;
  const ratio = `oil ${plusMinus(viscosityRatio, '')} times as thick`;
  if (advice === 'keep-oil')
    return [`After the ${drillText(next)} drill the damping would still be inside the tolerance.`];
  return [
    `Should it come out as large as the ${drillText(next)} drill, ${ratio} brings the target back${oil ? `: ${oilText(oil)}` : ''}.`,
  ];
}

function oilSentences({ present, chosen, blank }: HoleAnswer): string[] {
  if (!present)
    return [
      `The oil is not given, so that its viscosity (${plusMinus(blank.viscosity_cSt, 'cSt')} as warm as it was) is judged from the curve ` +
        'together with the gap round the piston, which widens the interval: say what its viscosity at 25 °C is.',
    ];
  return chosen && chosen.label !== present.label
    ? [`Planned for ${oilText(chosen)} in place of ${oilText(present)}.`]
    : [];
}

const beyondSentences: Readonly<Record<Beyond, string>> = {
  speed: 'The target is faster than the blank was measured: those speeds are led on, not measured.',
  'hole-size':
    'The hole leaves the present one by more than a quarter: that is further than the flow model was ever held against, so go in smaller steps.',
  'laminar-flow': 'The flow in the holes would turn turbulent, which the model does not hold for.',
  ceiling:
    'In compression the target asks for more than the atmosphere can push through the piston: it will stop rising there.',
};

function remainingSentences({ remaining, advice }: HoleAnswer, units: DisplayUnits): string[] {
  if (!remaining || advice === 'holes-too-large' || advice === 'keep-holes') return [];
  const { deviation_percent, deviation_N, allowed_N, velocity_m_per_s } = remaining.worst;
  if (Math.abs(deviation_N.value) <= allowed_N) return [];
  return [
    `With exactly that hole ${signedPercent(deviation_percent)} would remain ${placeText(velocity_m_per_s, units)}: ` +
      'one size of hole moves the whole curve and does not bend it.',
  ];
}

/** One row of the drills, every cell ready to be shown. */
export interface DrillRow {
  readonly name: string;
  readonly diameter: string;
  readonly shelf: string;
  readonly worst: string;
  readonly verdict: string;
  readonly bringsBack: string;
}

/** The drills as rows of text. */
export function drillRows({ drills }: HoleAnswer, units: DisplayUnits = metric): DrillRow[] {
  return drills.map((drill) => ({
    name: drill.role === 'first' ? `${drill.name} (first)` : drill.name,
    diameter: formatDecimals(drill.diameter_mm, 3),
    shelf: drill.owned ? 'yes' : '',
    worst: drill.worst
      ? `${signedPercent(drill.worst.deviation_percent)} ${placeText(drill.worst.velocity_m_per_s, units)}${drill.worst.extrapolated ? ' *' : ''}`
      : '',
    verdict: drill.verdict ?? '',
    bringsBack: drill.bringsBack ? `× ${formatNumber(drill.bringsBack.viscosityRatio.value)}` : '',
  }));
}
