import { mostRemounts } from '../../analysis/index.js';
import type { MoreRemountsAnswer } from '../answers/index.js';
import { valueText } from './amounts.js';
import { count, formatChosen, formatNumber, sentenceCase } from './numbers.js';
import { quantityMeaning } from './quantities.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

/** What the remounts of a build see, and how many see what matters: the wanted difference first. */
export function moreRemountsSentences(answer: MoreRemountsAnswer, units: DisplayUnits = metric): string[] {
  return [
    ...wantedSentence(answer, units),
    ...nowSentence(answer, units),
    ...doubtSentence(answer),
    basisSentence(answer),
  ];
}

/** "Drag", "Compression damping at 100 mm/s". */
export const resolvedName = (quantity: string, units: DisplayUnits = metric): string =>
  quantity === 'damping' ? 'Damping' : quantityMeaning(quantity, units).label;

/** Further remounts of the build in question, if its spread is as measured; null where none would do. */
export function moreNeeded({ wanted, recorded }: MoreRemountsAnswer): number | null {
  const needed = wanted?.withMeasuredSpread ?? null;
  return needed === null ? null : Math.max(0, needed - recorded);
}

function wantedSentence(answer: MoreRemountsAnswer, units: DisplayUnits): string[] {
  const { wanted, recorded, quantity } = answer;
  if (!wanted) return [];
  const what = `a difference of ${valueText(wanted.difference_N, 'force', units, 1, formatChosen)} in ${inSentence(quantity, units)}`;
  const more = moreNeeded(answer);
  if (more === null)
    return [
      `More than ${mostRemounts} remounts of each build would be needed to see ${what}: look for what makes the remounts differ instead.`,
    ];
  if (more === 0) {
    const are =
      recorded === 1 ? 'The one remount recorded is' : `The ${count(recorded, 'remount')} recorded are`;
    return [`${are} enough to see ${what}, with as many of the other build, if their spread is as measured.`];
  }
  return [
    `${sentenceCase(count(more, 'more remount'))} of this build, ${formatChosen(recorded + more)} in all and as many of the other, see ${what} if the spread is as measured.`,
  ];
}

function nowSentence(
  { now, recorded, value_N, quantity }: MoreRemountsAnswer,
  units: DisplayUnits,
): string[] {
  if (!now)
    return [
      'One remount says nothing of the spread between remounts: record two more before anything is compared.',
    ];
  const percent = formatNumber((100 * now.resolvable_N) / Math.abs(value_N), 2);
  return [
    `${sentenceCase(inSentence(quantity, units))}: ${count(recorded, 'remount')} a side tell a difference of ${valueText(now.resolvable_N, 'force', units, 1)} (${percent} %) from nothing four times in five; the 95 % interval of a difference then reaches ${valueText(now.halfWidth_N, 'force', units, 1)} to either side.`,
  ];
}

function doubtSentence({ wanted, basis, seenIn }: MoreRemountsAnswer): string[] {
  if (!wanted || basis !== 'remounts' || wanted.withMeasuredSpread === null) return [];
  if (wanted.remounts === wanted.withMeasuredSpread) return [];
  const worst = wanted.remounts === null ? `more than ${mostRemounts}` : formatChosen(wanted.remounts);
  return [
    `${sentenceCase(count(seenIn, 'remount'))} know their spread badly: at worst it takes ${worst} of each build. Ask again after every few.`,
  ];
}

function basisSentence({ basis, seenIn, recorded }: MoreRemountsAnswer): string {
  if (basis === 'assumed')
    return 'No build here has several remounts, so a spread of 5 % between them is assumed (common practice, no source).';
  if (basis === 'rig') return 'The spread is what this rig has shown with other builds.';
  return recorded > 1
    ? `The spread is that of the ${count(seenIn, 'remount')} themselves.`
    : `The spread is that of ${count(seenIn, 'remount')} of other builds.`;
}

const inSentence = (quantity: string, units: DisplayUnits): string => {
  const name = resolvedName(quantity, units);
  return name.charAt(0).toLowerCase() + name.slice(1);
};

export interface MoreRemountsRow {
  readonly remounts: string;
  readonly halfWidth: string;
  readonly resolvable: string;
  readonly cautious: string;
}

const toldRemounts = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24];

/** One row a number of remounts a side, forces in the unit chosen. */
export function moreRemountsRows(
  { byRemounts, recorded, wanted }: MoreRemountsAnswer,
  units: DisplayUnits = metric,
): MoreRemountsRow[] {
  const { factor } = displayScale('force', units);
  return byRemounts
    .filter(
      ({ remounts }) =>
        toldRemounts.includes(remounts) || remounts === recorded || remounts === wanted?.withMeasuredSpread,
    )
    .map(({ remounts, halfWidth_N, resolvable_N, cautious_N }) => ({
      remounts: `${remounts}${remounts === recorded ? ' (recorded)' : ''}`,
      halfWidth: formatNumber(halfWidth_N * factor, 2),
      resolvable: formatNumber(resolvable_N * factor, 2),
      cautious: formatNumber(cautious_N * factor, 2),
    }));
}

/** Above the picture. */
export function resolvesPictureSentence(
  { byRemounts, now, quantity }: MoreRemountsAnswer,
  units: DisplayUnits = metric,
): string {
  const from = now ?? byRemounts[0]!;
  const twice = byRemounts.find(({ resolvable_N }) => resolvable_N <= from.resolvable_N / 2);
  const told = `${sentenceCase(count(from.remounts, 'remount'))} of each build tell ${valueText(from.resolvable_N, 'force', units, 1)} of ${inSentence(quantity, units)} from nothing`;
  return twice
    ? `${told}; half of that takes ${count(twice.remounts, 'remount')}.`
    : `${told}; half of that takes more than are drawn here.`;
}
