import type { QuantityResolution } from '../../analysis/index.js';
import type { ResolvesAnswer } from '../answers/index.js';
import { valueText } from './amounts.js';
import { count, formatNumber, sentenceCase } from './numbers.js';
import { quantityMeaning } from './quantities.js';
import { type DisplayUnits, metric } from './units.js';

const bases = {
  remounts: (remounts: number) => `from ${count(remounts, 'remount')}`,
  'remounts-and-rig': (remounts: number) => `from ${count(remounts, 'remount')} and what is known of the rig`,
  rig: () => 'from the spread that you gave',
  assumed: () => 'with a spread of 5 % between remounts, which is assumed (common practice, no source)',
} as const;

/** What a rig can tell apart, drag first, then damping and a target. */
export function resolvesSentences(
  { basis, remounts, quantities }: ResolvesAnswer,
  units: DisplayUnits = metric,
): string[] {
  const drag = quantities.find(({ quantity }) => quantity === 'friction_N');
  const damping =
    quantities.find(({ quantity }) => quantity === 'damping' || quantity === 'damping.compression@0.10') ??
    quantities.find(({ quantity }) => quantity.startsWith('damping'));
  const sentences = [drag, damping].flatMap((found) => (found ? [resolution(found, units)] : []));
  const [first, ...others] = sentences;
  if (!first) return ['These recordings have nothing in common that could be compared.'];
  const known = `This is ${bases[basis](remounts)}.`;
  const doubtful =
    basis !== 'assumed' && drag && drag.spread.degreesOfFreedom < 8
      ? [
          `${sentenceCase(count(remounts, 'remount'))} know the spread badly: at worst the differences are those of the column that says so.`,
        ]
      : [];
  return [first, ...others, ...target(damping), known, ...doubtful];
}

function resolution({ quantity, value, resolvable }: QuantityResolution, units: DisplayUnits): string {
  const three = resolvable.find(({ remounts }) => remounts === 3)!;
  const eight = resolvable.at(-1)!;
  const percent = (difference: number) => `${formatNumber((100 * difference) / Math.abs(value), 2)} %`;
  return (
    `${labelOf(quantity, units)}: three remounts a side tell a difference of ${valueText(three.expected, 'force', units, 1)} (${percent(three.expected)}) ` +
    `from nothing four times in five; ${count(eight.remounts, 'remount')} tell ${valueText(eight.expected, 'force', units, 1)} (${percent(eight.expected)}).`
  );
}

function target(damping: QuantityResolution | undefined): string[] {
  const three = damping?.resolvable.find(({ remounts }) => remounts === 3);
  return three
    ? [
        `A build that meets its target exactly is found within a tolerance of ${formatNumber(three.tolerance_percent, 2)} % with three remounts; a tighter one stays undecided.`,
      ]
    : [];
}

/** "Damping" where no speed is meant. */
const labelOf = (quantity: string, units: DisplayUnits = metric): string =>
  quantity === 'damping' ? 'Damping' : quantityMeaning(quantity, units).label;

/** One row a quantity: what two, three, five and eight remounts a side resolve, in N. */
export function resolvesRows({ quantities }: ResolvesAnswer) {
  return quantities.map(({ quantity, value, spread, resolvable }) => ({
    quantity: labelOf(quantity),
    group: quantity === 'damping' ? null : quantityMeaning(quantity).group,
    value: formatNumber(value, 3),
    spread: formatNumber((100 * spread.standardDeviation) / Math.abs(value), 2),
    resolvable: resolvable.map(({ expected }) => formatNumber(expected, 2)),
    cautious: formatNumber(resolvable.find(({ remounts }) => remounts === 3)!.cautious, 2),
    tolerance: formatNumber(resolvable.find(({ remounts }) => remounts === 3)!.tolerance_percent, 2),
  }));
}
