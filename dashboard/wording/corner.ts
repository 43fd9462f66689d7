import type { CornerWarning } from '../../analysis/index.js';
import type { AnsweredCorner, CornerAnswer } from '../answers/index.js';
import { lengthText, valueText } from './amounts.js';
import { formatChosen, formatDecimals, formatNumber } from './numbers.js';
import { speedText } from './speeds.js';
import { otherRate } from './spring.js';
import { type DisplayUnits, metric } from './units.js';

type WordedCorners = Pick<CornerAnswer, 'corners' | 'springForPack'>;

/** A corner in sentences: how it rides first, then what is absurd about it, then how it lands. */
export function cornerSentences(answer: WordedCorners, units: DisplayUnits = metric): string[] {
  const several = answer.corners.length > 1;
  return [
    ...answer.corners.flatMap((corner) =>
      oneCorner(corner, several ? `${nameOf(corner, answer)}: ` : '', units),
    ),
    ...answer.springForPack.map(
      ({ pack, rate_N_per_mm }) =>
        `${pack} keeps the frequency of the first with ${valueText(rate_N_per_mm, 'springRate', units, 1000, formatNumber)} (${otherRate(rate_N_per_mm, units)}).`,
    ),
  ];
}

const nameOf = ({ build, pack }: AnsweredCorner, { corners }: Pick<CornerAnswer, 'corners'>): string => {
  const builds = new Set(corners.map((corner) => corner.build)).size > 1;
  const packs = new Set(corners.map((corner) => corner.pack)).size > 1;
  return builds && packs ? `${build}, ${pack}` : builds ? build : pack;
};

function oneCorner(corner: AnsweredCorner, name: string, units: DisplayUnits): string[] {
  const { frequency_Hz, sag_mm, sagDrag_mm, dampingRatios, freeResponse, landing, state } = corner;
  const ratio = dampingRatios.find(({ speed_m_per_s }) => speed_m_per_s >= 0.1) ?? dampingRatios.at(-1);
  const damped = ratio
    ? ` At ${speedText(ratio.speed_m_per_s, units)} its damping ratio is ${formatNumber(ratio.total, 2)}, of which drag makes ${formatNumber(100 * ratio.dragShare, 2)} %${ratio.extrapolated ? ' (beyond the measured speeds)' : ''}.`
    : '';
  const stands =
    state === 'free'
      ? `It rides at ${formatNumber(frequency_Hz, 2)} Hz and sags ${lengthText(sag_mm, units)}, give or take ${lengthText(sagDrag_mm, units)} that drag holds.`
      : state === 'topped-out'
        ? `It stands at full extension: spring and preload carry more than its weight; moving, it would ride at ${formatNumber(frequency_Hz, 2)} Hz.`
        : 'It stands on its stop, because the spring cannot carry its weight: a stiffer spring, or more preload.';
  if (state === 'bottomed') return [`${name}${stands}`];
  return [
    `${name}${stands}${damped}`,
    ...corner.warnings.flatMap((warning) => warningSentence(warning, units)),
    swingSentence(freeResponse, units),
    ...(landing ? [landingSentence(landing, units)] : []),
  ];
}

function warningSentence({ code, values }: CornerWarning, units: DisplayUnits): string[] {
  const number = (key: string, digits = 2) => formatNumber(values[key] ?? Number.NaN, digits);
  const rate = valueText(values.rateThatSuits_N_per_m ?? Number.NaN, 'springRate', units, 1);
  const sag = lengthText(1000 * (values.sagUnderWeight_m ?? Number.NaN), units);
  if (code === 'lever-spring-on-axle')
    return [
      `${number('frequency_Hz')} Hz is absurd for a vehicle: the spring is far too stiff for a shock on the axle, where its own weight moves it by only ${sag}. It is one for a suspension with levers; here about ${rate} would ride at 3 Hz.`,
    ];
  if (code === 'far-too-stiff')
    return [
      `${number('frequency_Hz')} Hz is absurd for a vehicle: its own weight moves the wheel by only ${sag}. About ${rate}, or a motion ratio of ${number('ratioThatSuits')}, would ride at 3 Hz.`,
    ];
  if (code === 'far-too-soft')
    return [`${number('frequency_Hz')} Hz is very soft: check mass, rate and motion ratio.`];
  if (code === 'drag-dominates')
    return [
      'More than half of its damping at a slow speed is drag, which a thinner or thicker oil does not change: a seal with less drag does.',
    ];
  return [];
}

function swingSentence(
  { push_mm, extremes_mm, dampingRatio, restsOff_mm, extrapolated }: AnsweredCorner['freeResponse'],
  units: DisplayUnits,
): string {
  const beyond = extrapolated ? ' (beyond the measured speeds)' : '';
  const rest = `comes to rest ${lengthText(Math.abs(restsOff_mm), units)} from its height`;
  return dampingRatio === null
    ? `Pushed down ${lengthText(push_mm, units)} and let go it does not swing back${extremes_mm.length > 1 ? ' a second time' : ''} and ${rest}${beyond}.`
    : `Pushed down ${lengthText(push_mm, units)} and let go it swings with a damping ratio of ${formatNumber(dampingRatio, 2)} and ${rest}${beyond}.`;
}

function landingSentence(landing: NonNullable<AnsweredCorner['landing']>, units: DisplayUnits): string {
  const from = `Dropped from ${valueText(landing.drop_mm, 'length', units, 1e-3, formatChosen)}`;
  const beyond = landing.extrapolated
    ? `; the shock then moves at ${speedText(Number(landing.fastestShock_m_per_s.toPrecision(2)), units)}, faster than it was measured, so take it as a guess`
    : '';
  return landing.stopReached
    ? `${from} it uses all of its travel and meets the stop with ${formatNumber(1000 * landing.energyAtStop_J, 2)} mJ left${beyond}.`
    : `${from} it uses ${lengthText(landing.travelUsed_mm, units)} of the shock's travel and does not meet the stop; the body feels ${formatNumber(landing.peakLoad, 2)} times its weight${beyond}.`;
}

export interface CornerRow {
  readonly corner: string;
  readonly sag: string;
  readonly frequency: string;
  readonly slow: string;
  readonly fast: string;
  readonly landing: string;
}

/** One row a corner. */
export function cornerRows(answer: CornerAnswer): CornerRow[] {
  return answer.corners.map((corner) => {
    const at = (speed: number) => corner.dampingRatios.find(({ speed_m_per_s }) => speed_m_per_s >= speed);
    const ratio = (speed: number) => {
      const found = at(speed);
      return found ? `${formatNumber(found.total, 2)}${found.extrapolated ? ' *' : ''}` : '–';
    };
    return {
      corner: answer.corners.length > 1 ? nameOf(corner, answer) : corner.pack,
      sag: formatDecimals(corner.sag_mm, 1),
      frequency: formatNumber(corner.frequency_Hz, 2),
      slow: ratio(0.05),
      fast: ratio(0.2),
      landing: corner.landing
        ? corner.landing.stopReached
          ? 'stop'
          : formatDecimals(corner.landing.travelUsed_mm, 1)
        : '–',
    };
  });
}
