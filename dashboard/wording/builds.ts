import { scaleEstimate } from '../../analysis/index.js';
import type { CompareAnswer, ComparedDifference, PairsAnswer } from '../answers/index.js';
import { comparisonSentences, type SideNames } from './comparison.js';
import { count, formatDecimals, formatNumber, plusMinus, sentenceCase } from './numbers.js';
import { quantityMeaning } from './quantities.js';
import { directionText, placeText } from './speeds.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** The builds of a comparison in sentences: each against the first, then what all of them together would need. */
export function buildsSentences(answer: CompareAnswer, units: DisplayUnits = metric): string[] {
  const { comparisons, reference, family } = answer;
  const many = comparisons.length > 1;
  const sentences = comparisons.flatMap((comparison) => {
    const names: SideNames = { before: reference, after: comparison.name };
    const judged = many ? { ...comparison, differences: comparison.differences.map(forFamily) } : comparison;
    return comparisonSentences(judged, { names, units }).map((sentence) =>
      many && !sentence.startsWith(sentenceCase(comparison.name))
        ? `${comparison.name}: ${sentence}`
        : sentence,
    );
  });
  return many
    ? [
        ...sentences,
        `${sentenceCase(count(family.comparisons, 'difference'))} are judged together, so that one false alarm anywhere stays below 5 % (Holm); ` +
          `to be resolved a difference must be ${formatNumber(family.cost, 2)} times as large as alone.`,
      ]
    : sentences;
}

/** The verdict for the family in place of the one alone. */
const forFamily = (difference: ComparedDifference): ComparedDifference => ({
  ...difference,
  verdict: difference.familyVerdict,
});

/** What is known of the spread, where remounts do not tell it; null where they do. */
export function spreadSentence({ comparisons }: CompareAnswer): string | null {
  const spread = comparisons[0]?.differences[0]?.spread;
  if (spread?.basis === 'assumed')
    return 'One recording a side says nothing of remounts: a spread of 5 % between them is assumed (common practice, no source). Take the shock off and on again, three times a build.';
  if (spread?.basis === 'rig')
    return 'One recording a side: the spread between remounts is the one you gave.';
  return null;
}

/** How many remounts would show the difference that matters, where these did not; null where all of them would have. */
export function planSentence(answer: CompareAnswer, units: DisplayUnits = metric): string | null {
  const open = answer.comparisons
    .flatMap(({ differences }) => differences)
    .find(
      ({ verdict, plan, resolvable }) => verdict === 'not-resolved' && plan && resolvable > plan.difference,
    );
  if (!open?.plan) return null;
  const meaning = quantityMeaning(open.quantity, units);
  const { unit, factor } = displayScale(meaning.dimension, units);
  const size = `${formatNumber(open.plan.difference * factor * meaning.toSI, 2)} ${unit}`;
  const what = `a change of ${formatNumber(answer.matters_percent, 2)} % in ${meaning.label.toLowerCase()} (${size})`;
  const { remounts, withMeasuredSpread } = open.plan;
  if (withMeasuredSpread === null)
    return `No reasonable number of remounts would show ${what} on this rig: find out first what makes it spread.`;
  const few = `${count(withMeasuredSpread, 'remount')} a side show ${what} four times in five`;
  const sure = open.spread.basis === 'assumed' ? 'if that spread holds' : 'if the spread is as measured';
  if (remounts === withMeasuredSpread) return `${sentenceCase(few)}.`;
  const most =
    remounts === null
      ? 'at the upper end of what so few remounts allow no reasonable number does'
      : `at the upper end of what so few remounts allow it takes ${count(remounts, 'remount')}`;
  return `${sentenceCase(few)} ${sure}; ${most}.`;
}

/** Which shocks to mount left and right. */
export function pairsSentences(answer: PairsAnswer, units: DisplayUnits = metric): string[] {
  const { pairs, kind, temperature_degC, single } = answer;
  const subject = kind === 'total' ? 'total force' : 'damping';
  const sentences = pairs.map(({ labels, mismatch_percent, worst, toldApart }) => {
    const most = `${formatNumber(Math.abs(worst.difference_percent), 2)} % ${placeText(worst.velocity_m_per_s, units)}`;
    const apart = toldApart
      ? `they differ most by ${most}`
      : `which is no more than these recordings can tell apart`;
    return `Pair ${labels[0]} with ${labels[1]}: their ${subject} differs by ${formatNumber(mismatch_percent, 2)} % on average, ${apart}.`;
  });
  return [
    ...sentences,
    temperature_degC === null
      ? 'A recording has no oil temperature, so that equal ones are taken for granted; 1 K changes viscosity by about 2 %.'
      : `All at an oil temperature of ${formatDecimals(temperature_degC, 1)} °C.`,
    ...(single.length > 0
      ? ['One recording only of some: what another mounting would change is not in these intervals.']
      : []),
  ];
}

/** One row for every two of the set, best matched first. */
export function matchRows(answer: PairsAnswer, units: DisplayUnits = metric) {
  const { factor, unit } = displayScale('force', units);
  return answer.matches.map(({ labels, mismatch_percent, worst, toldApart }) => ({
    pair: `${labels[0]} and ${labels[1]}`,
    mismatch: formatNumber(mismatch_percent, 2),
    worst: plusMinus(scaleEstimate(worst.difference_N, factor), unit),
    where: `${directionText(worst.velocity_m_per_s)} at ${placeText(worst.velocity_m_per_s, units).replace(/^.* at /, '')}`,
    apart: toldApart ? 'yes' : 'no',
  }));
}
