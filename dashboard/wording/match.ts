import {
  type Estimate,
  type JudgedSpeed,
  scaleEstimate,
  type TargetJudgement,
} from '../../analysis/index.js';
import type { MatchAnswer } from '../answers/index.js';
import {
  count,
  estimateText,
  formatChosen,
  formatDecimals,
  formatNumber,
  plusMinus,
  sentenceCase,
} from './numbers.js';
import { directionText, placeText, speedText } from './speeds.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

const subjects = { damping: 'damping', total: 'total force' } as const;

/**
 * A verdict in sentences made from its numbers.
 * @returns the verdict with its reason first, then what limits it and what would help
 */
export function matchSentences(answer: MatchAnswer, units: DisplayUnits = metric): string[] {
  return [
    verdictSentence(answer, units),
    ...helpSentences(answer),
    ...unmeasuredSentences(answer.unmeasured, units),
    ...ceilingSentences(answer, units),
    ...(answer.extrapolated
      ? ['Speeds marked * lie beyond the fastest that was measured; there the curve is led on.']
      : []),
    temperatureSentence(answer.temperatureAssumed, answer.temperature_degC),
    ...(answer.remounts === 1
      ? ['One recording only: what another mounting of the shock would change is not in these intervals.']
      : []),
  ];
}

function verdictSentence({ verdict, worst, speeds, kind }: MatchAnswer, units: DisplayUnits): string {
  const subject = subjects[kind];
  const place = placeText(worst.velocity_m_per_s, units);
  const allowed = allowedText(worst, units);
  if (verdict === 'within')
    return (
      `Within: at all ${formatChosen(speeds.length)} speeds compared the ${subject} lies inside the tolerance. ` +
      `The largest deviation is ${signedPercent(worst.deviation_percent)} ${place}, where ${allowed} is allowed.`
    );
  if (verdict === 'outside') {
    const out = speeds.filter((speed) => speed.verdict === 'outside');
    const farthest = out.reduce((a, b) => (excess(b) > excess(a) ? b : a));
    const { value } = farthest.deviation_percent;
    const amount = estimateText(scaleEstimate(farthest.deviation_percent, Math.sign(value) || 1));
    return (
      `Outside: ${placeText(farthest.velocity_m_per_s, units)} the ${subject} is ${amount.value} % ${value > 0 ? 'above' : 'below'} ` +
      `the target (95 %: ${amount.low} to ${amount.high}), where ${allowedText(farthest, units)} is allowed.`
    );
  }
  const open = speeds.filter((speed) => speed.verdict === 'undecided');
  const nearest = open.length > 0 ? open.reduce((a, b) => (excess(b) > excess(a) ? b : a)) : null;
  if (!nearest)
    return `Undecided: every speed that was measured lies inside the tolerance, but the target asks for more speeds.`;
  const inside = Math.abs(nearest.deviation_N.value) <= nearest.allowed_N;
  return (
    `Undecided: ${placeText(nearest.velocity_m_per_s, units)} the ${subject} deviates by ` +
    `${signedPercent(nearest.deviation_percent)}, which is ${inside ? 'inside' : 'outside'} the ` +
    `${allowedText(nearest, units)} allowed, but its interval crosses the limit.`
  );
}

function helpSentences({ verdict, remounts, remountsToDecide, speeds }: MatchAnswer): string[] {
  if (verdict !== 'undecided' || speeds.every((speed) => speed.verdict !== 'undecided')) return [];
  if (remountsToDecide !== null)
    return [
      `${sentenceCase(count(remountsToDecide, 'remount'))} in all would decide it if the deviations stay as they are.`,
    ];
  return [
    remounts === 1
      ? 'Measure three remounts: only they tell how far to trust the mean.'
      : 'So near its limit a deviation is not decided by a few more remounts: allow more, or bring the build nearer.',
  ];
}

/** What of a target was not measured, a sentence a direction. */
export function unmeasuredSentences(
  unmeasured: TargetJudgement['unmeasured'],
  units: DisplayUnits = metric,
): string[] {
  return unmeasured.map(
    ({ direction, from_m_per_s, to_m_per_s }) =>
      `In ${direction} the target goes on to ${speedText(to_m_per_s, units)}, but ` +
      (from_m_per_s > 0
        ? `only ${speedText(from_m_per_s, units)} was measured: record faster.`
        : 'that direction was not measured.'),
  );
}

function ceilingSentences({ ceiling_N, kind }: MatchAnswer, units: DisplayUnits): string[] {
  if (kind === 'total') return [];
  const { factor, unit } = displayScale('force', units);
  const sides = [
    ['the build', ceiling_N.build],
    ['the target', ceiling_N.target],
  ] as const;
  return sides.flatMap(([side, ceiling]) =>
    ceiling === null
      ? []
      : [
          `In compression the damping of ${side} stops rising at ${formatNumber(ceiling * factor)} ${unit}, where the oil cannot follow any more.`,
        ],
  );
}

/** At which oil temperature two curves were held against each other. */
export function temperatureSentence(assumed: boolean, temperature_degC: number | null): string {
  if (!assumed) return `Compared at an oil temperature of ${formatDecimals(temperature_degC!, 1)} °C.`;
  return temperature_degC === null
    ? 'No oil temperature is known, so that equal ones are taken for granted; 1 K changes viscosity by about 2 %.'
    : `One side has no oil temperature, so that ${formatDecimals(temperature_degC, 1)} °C is taken for both; 1 K changes viscosity by about 2 %.`;
}

const excess = ({ deviation_N, allowed_N }: JudgedSpeed): number =>
  Math.abs(deviation_N.value) / (allowed_N || 1e-12);

/** "5 %", or "0.2 N (7 %)" where the force counts. */
function allowedText({ allowed_N, target_N }: JudgedSpeed, units: DisplayUnits): string {
  const { factor, unit } = displayScale('force', units);
  const percent = `${formatChosen((100 * allowed_N) / target_N, 2)} %`;
  return `${percent} (${formatNumber(allowed_N * factor, 2)} ${unit})`;
}

/** "+2.1 ± 0.8 %" */
export const signedPercent = (percent: Estimate): string =>
  `${/^\d*\.?\d*[1-9]/.test(estimateText(percent).value) ? '+' : ''}${plusMinus(percent, '%')}`;

/** One row of the table of speeds, every cell ready to be shown. */
export interface JudgedRow {
  readonly direction: string;
  readonly speed: string;
  readonly target: string;
  readonly deviation: string;
  readonly allowed: string;
  readonly verdict: string;
}

/**
 * The judged speeds as rows of text, fastest rebound last.
 * @param most rows a direction, spread over its speeds; the worst is always among them
 */
export function judgedRows(
  { speeds, worst }: Pick<TargetJudgement, 'speeds' | 'worst'>,
  units: DisplayUnits = metric,
  most = 6,
): JudgedRow[] {
  const { factor } = displayScale('force', units);
  const sides = [
    speeds.filter(({ velocity_m_per_s }) => velocity_m_per_s > 0),
    speeds.filter(({ velocity_m_per_s }) => velocity_m_per_s < 0).toReversed(),
  ];
  return sides.flatMap((side) =>
    spread(side, most, worst).map((speed) => ({
      direction: directionText(speed.velocity_m_per_s),
      speed: `${speedText(speed.velocity_m_per_s, units)}${speed.extrapolated ? ' *' : ''}`,
      target: formatNumber(speed.target_N * factor),
      deviation: signedPercent(speed.deviation_percent).replace(' %', ''),
      allowed: formatChosen((100 * speed.allowed_N) / speed.target_N, 2),
      verdict: speed.verdict,
    })),
  );
}

function spread(side: readonly JudgedSpeed[], most: number, worst: JudgedSpeed): JudgedSpeed[] {
  if (side.length <= most) return [...side];
  const step = (side.length - 1) / (most - 1);
  const chosen = new Set(Array.from({ length: most }, (_, i) => side[Math.round(i * step)]!));
  return side.filter((speed) => chosen.has(speed) || speed.velocity_m_per_s === worst.velocity_m_per_s);
}
