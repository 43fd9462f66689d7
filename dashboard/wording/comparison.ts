import { type Comparison, type Difference, type Estimate, scaleEstimate } from '../../analysis/index.js';
import {
  count,
  decimalsOfUncertainty,
  estimateText,
  formatChosen,
  formatDecimals,
  formatNumber,
  plusMinus,
  sentenceCase,
} from './numbers.js';
import { type QuantityMeaning, quantityMeaning } from './quantities.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** How the two sides are called in sentences. */
export interface SideNames {
  readonly before: string;
  readonly after: string;
}

export interface ComparisonWording {
  readonly names?: SideNames;
  readonly units?: DisplayUnits;
  readonly remounts?: Comparison['remounts'];
}

/**
 * One difference as a sentence made from its numbers.
 * @param difference one entry of a comparison
 * @param wording names of the sides ("The new seal"), display units, and how many remounts each side has
 * @returns "The new seal drags 0.42 N less (95 %: 0.35 to 0.49), about a third." or, where it is not
 *   resolved, the difference seen and the smallest one that could have been
 */
export function differenceSentence(difference: Difference, wording: ComparisonWording = {}): string {
  const units = wording.units ?? metric;
  const meaning = quantityMeaning(difference.quantity, units);
  const { unit, factor } = displayScale(meaning.dimension, units);
  const scale = factor * meaning.toSI;
  const shown = scaleEstimate(difference.difference, scale);
  if (difference.verdict === 'not-resolved')
    return notResolvedSentence(meaning.label, shown, difference.resolvable * scale, unit, wording.remounts);

  const direction = difference.verdict === 'lower' ? 'less' : 'more';
  const amount = estimateText(scaleEstimate(shown, difference.verdict === 'lower' ? -1 : 1));
  const proportion = proportionWords(difference.before, difference.after);
  const subject = sentenceCase(wording.names?.after ?? 'the after build');
  const than = wording.names ? ` than ${wording.names.before}` : '';
  return (
    `${subject} ${meaning.says(`${amount.value} ${unit}`.trim(), direction)}${than}` +
    ` (95 %: ${amount.low} to ${amount.high})${proportion === null ? '' : `, ${proportion}`}.`
  );
}

function notResolvedSentence(
  label: string,
  shown: Estimate,
  resolvable: number,
  unit: string,
  remounts: Comparison['remounts'] | undefined,
): string {
  const decimals = decimalsOfUncertainty((shown.high95 - shown.low95) / 2) ?? 2;
  const seen = `${label}: not resolved. The difference, ${plusMinus(shown, unit)},`;
  if (!Number.isFinite(resolvable) || resolvable <= Math.abs(shown.value))
    return `${seen} could be zero. More remounts would tell.`;
  const limit = `${formatDecimals(resolvable, decimals)} ${unit}`.trim();
  return `${seen} is smaller than ${limit}, which is what ${sides(remounts)} can see here.`;
}

function sides(remounts: Comparison['remounts'] | undefined): string {
  if (!remounts) return 'these remounts';
  const { before, after } = remounts;
  return before === after
    ? `${count(before, 'remount')} a side`
    : `${count(before, 'remount')} before and ${count(after, 'remount')} after`;
}

const fractions: readonly (readonly [number, string])[] = [
  [1 / 10, 'a tenth'],
  [1 / 5, 'a fifth'],
  [1 / 4, 'a quarter'],
  [1 / 3, 'a third'],
  [1 / 2, 'half'],
  [2 / 3, 'two thirds'],
  [3 / 4, 'three quarters'],
];

/**
 * The change as a share of the level before, in words: "about a third", "about 12 %", "about 2.4 times as much".
 * @returns null where either level is not clearly above zero, since a share of nothing says nothing
 */
export function proportionWords(before: Estimate, after: Estimate): string | null {
  if (!(before.low95 > 0) || !Number.isFinite(before.value) || !Number.isFinite(after.value)) return null;
  const ratio = after.value / before.value;
  if (ratio < 0) return null;
  if (ratio >= 1.9) return `about ${formatDecimals(ratio, ratio < 9.95 ? 1 : 0)} times as much`;
  const share = Math.abs(ratio - 1);
  const named = fractions.find(([fraction]) => Math.abs(share / fraction - 1) < 0.06);
  if (named) return `about ${named[1]}`;
  if (share < 0.005) return 'less than 1 %';
  return `about ${formatDecimals(share * 100, 0)} %`;
}

/** One row of the table of differences, every cell ready to be shown; the unit stands beside the label. */
export interface DifferenceRow {
  readonly quantity: string;
  readonly label: string;
  readonly group: QuantityMeaning['group'];
  readonly unit: string;
  readonly before: string;
  readonly after: string;
  readonly difference: string;
  readonly resolvable: string;
  readonly verdict: string;
}

/** The differences as rows of text for a table, in the order of the comparison. */
export function differenceRows(comparison: Comparison, units: DisplayUnits = metric): DifferenceRow[] {
  return comparison.differences.map((entry) => {
    const meaning = quantityMeaning(entry.quantity, units);
    const { unit, factor } = displayScale(meaning.dimension, units);
    const scale = factor * meaning.toSI;
    const difference = scaleEstimate(entry.difference, scale);
    const decimals = decimalsOfUncertainty((difference.high95 - difference.low95) / 2) ?? 2;
    return {
      quantity: entry.quantity,
      label: meaning.label,
      group: meaning.group,
      unit,
      before: plusMinus(scaleEstimate(entry.before, scale), ''),
      after: plusMinus(scaleEstimate(entry.after, scale), ''),
      difference: plusMinus(difference, ''),
      resolvable: formatDecimals(entry.resolvable * scale, decimals),
      verdict: verdictWords(entry.verdict),
    };
  });
}

/** A verdict in words; colour and shape only ever come beside it. */
export function verdictWords(verdict: Difference['verdict']): string {
  return verdict === 'not-resolved' ? 'not resolved' : verdict;
}

/**
 * The comparison in sentences: what was resolved, then what was not, the damping forces of it in one sentence.
 * @returns at least one sentence, the one about drag first where there is one
 */
export function comparisonSentences(comparison: Comparison, wording: ComparisonWording = {}): string[] {
  const full = { remounts: comparison.remounts, ...wording };
  const isQuietDamping = ({ quantity, verdict }: Difference) =>
    verdict === 'not-resolved' && quantity.startsWith('damping.');
  const quiet = comparison.differences.filter(isQuietDamping);
  const apart =
    quiet.length > 1 ? comparison.differences.filter((d) => !isQuietDamping(d)) : comparison.differences;
  const sentences = apart.map((difference) => differenceSentence(difference, full));
  if (quiet.length > 1) sentences.push(quietDampingSentence(quiet, full));
  return sentences.length > 0
    ? sentences
    : ['These recordings have nothing in common that could be compared.'];
}

/** "Damping: not resolved in compression at 50 and 100 mm/s and in rebound at 50 mm/s. …" */
function quietDampingSentence(quiet: readonly Difference[], wording: ComparisonWording): string {
  const units = wording.units ?? metric;
  const { unit, factor } = displayScale('force', units);
  const places = ['compression', 'rebound'].flatMap((direction) => {
    const speeds = quiet
      .map(({ quantity }) => /^damping\.(\w+)@(.+)$/.exec(quantity))
      .filter((parts) => parts?.[1] === direction)
      .map((parts) => speedNumber(Number(parts![2]), units));
    return speeds.length === 0
      ? []
      : [`in ${direction} at ${listed(speeds)} ${displayScale('velocity', units).unit}`];
  });
  const limits = quiet.map(({ resolvable }) => resolvable * factor).sort((a, b) => a - b);
  const [least, most] = [limits[0]!, limits.at(-1)!].map((limit) => formatNumber(limit, 2));
  const range = least === most ? least : `${least} to ${most}`;
  const opening = `Damping: not resolved ${places.join(' and ')}.`;
  if (quiet.some(({ resolvable, difference }) => !(resolvable > Math.abs(difference.value))))
    return `${opening} These differences could be zero. More remounts would tell.`;
  return `${opening} These differences are smaller than the ${range} ${unit} that ${sides(wording.remounts)} can see here.`;
}

function speedNumber(speed_m_per_s: number, units: DisplayUnits): string {
  return formatChosen(speed_m_per_s * displayScale('velocity', units).factor);
}

/** "50, 100 and 200" */
function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join() : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}
