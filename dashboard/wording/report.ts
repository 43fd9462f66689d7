import type { Difference } from '../../analysis/index.js';
import type { CheckAnswer, CompareAnswer } from '../answers/index.js';
import { planSentence, spreadSentence } from './builds.js';
import { count, formatDecimals, formatNumber, sentenceCase } from './numbers.js';
import { quantityMeaning } from './quantities.js';
import { checkSentence } from './rig-care.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** "25 Nov 2026": the day as an ISO 8601 text has it, in whichever zone that is written. */
export function dateText(iso: string): string {
  const [, year, month, day] = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso) ?? [];
  return year ? `${Number(day)} ${months[Number(month) - 1]} ${year}` : iso;
}

/** Why a difference got its verdict: where its interval lies, and what would have shown four times in five. */
export function verdictReason(difference: Difference, units: DisplayUnits = metric): string {
  if (difference.verdict !== 'not-resolved')
    return `all ${difference.verdict === 'lower' ? 'below' : 'above'} zero`;
  if (!Number.isFinite(difference.resolvable)) return 'holds zero';
  const meaning = quantityMeaning(difference.quantity, units);
  const scale = displayScale(meaning.dimension, units).factor * meaning.toSI;
  return `holds zero; ${formatNumber(difference.resolvable * scale, 2)} would show`;
}

/**
 * What a comparison asks to be done next.
 * @param simulated a recording of it came from the simulated rig
 * @returns at least one sentence
 */
export function nextStepSentences(
  answer: CompareAnswer,
  simulated: boolean,
  units: DisplayUnits = metric,
): string[] {
  const { comparisons, reference } = answer;
  const plan = planSentence(answer, units);
  const spread = spreadSentence(answer);
  const damped = comparisons.flatMap(({ name, differences }) => {
    const shares = differences.flatMap(({ quantity, verdict, before, difference }) =>
      quantity.startsWith('damping.') && verdict !== 'not-resolved' && before.low95 > 0
        ? [Math.abs(difference.value / before.value)]
        : [],
    );
    if (shares.length === 0) return [];
    const percent = 100 * Math.max(...shares);
    const differs = `Damping of ${name} differs from that of ${reference} by up to ${formatNumber(percent, 2)} %`;
    return [
      percent < answer.matters_percent
        ? `${differs}, less than the ${formatNumber(answer.matters_percent, 2)} % that matter: leave it as it is.`
        : `${differs}: should they be equal, ask which oil or which drill brings it there.`,
    ];
  });
  const told = [...damped, ...(plan ? [plan] : []), ...(spread ? [spread] : [])];
  const first = simulated
    ? ['Measure the shocks themselves: these recordings came from the simulated rig.']
    : [];
  const none = `Nothing has to be recorded again: a change of ${formatNumber(answer.matters_percent, 2)} % would have been seen in every quantity.`;
  return [...first, ...told, ...(plan || spread ? [] : [none])];
}

/** "From Draggy seal: seal swapped. Oil: 350 cSt at 25 °C." */
export function builtSentence(build: {
  readonly shock: string;
  readonly parent: string | null;
  readonly change: string;
  readonly parts: readonly string[];
}): string {
  const { shock, parent, change, parts } = build;
  const origin =
    parent === null ? `First build of ${shock}` : `From ${parent}: ${change || 'what changed was not noted'}`;
  return [origin, ...parts]
    .map((text) => text.replace(/[.;\s]+$/, ''))
    .join('. ')
    .concat('.');
}

interface Measured {
  readonly startedAt: string;
  readonly procedure: string;
  readonly temperature_degC: number | null;
  readonly rig: string;
}

/** "Three remounts on 25 Nov 2026, speed ladder, 24.5 to 24.7 °C." */
export function conditionsText(recordings: readonly Measured[]): string {
  if (recordings.length === 0) return 'Not measured.';
  const days = [...new Set(recordings.map(({ startedAt }) => dateText(startedAt)))];
  const when = days.length > 1 ? `${days[0]} to ${days.at(-1)}` : (days[0] ?? '');
  const procedures = [...new Set(recordings.map(({ procedure }) => procedure.replaceAll('-', ' ')))];
  const known = recordings.flatMap(({ temperature_degC }) => temperature_degC ?? []);
  const [low, high] = [Math.min(...known), Math.max(...known)].map((degC) => formatDecimals(degC, 1));
  const warmth =
    known.length < recordings.length
      ? 'temperature not measured'
      : `${low === high ? low : `${low} to ${high}`} °C`;
  return `${sentenceCase(count(recordings.length, 'remount'))} on ${when}, ${procedures.join(' and ')}, ${warmth}.`;
}

/** "Rig bench-1: calibration 2 of 3 Nov 2026 in force." */
export const calibrationSentence = ({
  name,
  calibration,
}: {
  readonly name: string;
  readonly calibration: { readonly version: number; readonly madeAt: string } | null;
}): string =>
  calibration
    ? `Rig ${name}: calibration ${calibration.version} of ${dateText(calibration.madeAt)} is in force.`
    : `Rig ${name} has no calibration.`;

/** When the check standard was measured last and what it said. */
export function lastCheckSentence({
  check,
}: {
  readonly check: {
    readonly standard: string;
    readonly answer: CheckAnswer | null;
    readonly measuredAt: string | null;
  } | null;
}): string {
  if (!check)
    return 'It has no check standard, so nobody knows whether it measures as it did when it was calibrated.';
  if (!check.answer || !check.measuredAt) return `Its check standard, ${check.standard}, was never measured.`;
  return `Last check, ${dateText(check.measuredAt)}: ${checkSentence(check.answer)}`;
}
