import type { CurvePoint } from '../../analysis/index.js';
import type { DragPart, OverlayKind } from '../answers/index.js';
import { formatChosen, formatDecimals, formatNumber, sentenceCase } from './numbers.js';
import { speedText } from './speeds.js';
import { type DisplayUnits, displayScale, metric } from './units.js';

const names: Readonly<Record<OverlayKind, string>> = {
  total: 'drag and damping',
  damping: 'damping',
  drag: 'drag',
};

/** "Drag and damping", "Damping", "Drag". */
export const overlayName = (kind: OverlayKind): string => sentenceCase(names[kind]);

/** What line, band and points of a picture of force against velocity are. */
export function overlayNote(kind: OverlayKind, at_degC: number | null): string {
  const points = {
    total: 'measured, less gas and inertia',
    damping: 'measured, less gas, inertia and drag',
    drag: 'measured, less gas, inertia and damping',
  }[kind];
  const level = kind === 'drag' ? ', the sliding level of each direction where it is known' : '';
  const brought =
    at_degC === null || kind === 'drag' ? '' : ` Damping is brought to ${formatDecimals(at_degC, 1)} °C.`;
  return `Line: ${names[kind]}${level}. Band: 95 % interval over the remounts. Points: ${points}.${brought}`;
}

/**
 * Where one build differs from its reference.
 * @param difference what it has more, counted along the motion, by increasing velocity
 * @returns "Low-drag seal has less drag and damping together than Draggy seal at every speed." or, where it depends, for each
 *   direction where it is less or more, and where it could be zero
 */
export function differenceReachSentence(
  sides: { readonly name: string; readonly reference: string; readonly kind: OverlayKind },
  difference: readonly CurvePoint[],
  units: DisplayUnits = metric,
): string {
  const { name, reference, kind } = sides;
  const subject = sentenceCase(name);
  const directions = [
    { name: 'compression', points: difference.filter(({ velocity_m_per_s }) => velocity_m_per_s > 0) },
    {
      name: 'rebound',
      points: difference.filter(({ velocity_m_per_s }) => velocity_m_per_s < 0).toReversed(),
    },
  ].filter(({ points }) => points.length > 0);
  if (directions.length === 0) return `${subject} and ${reference} have no speed in common.`;
  const verdicts = new Set(difference.map(verdictOf));
  if (verdicts.size === 1) {
    const [verdict] = verdicts;
    return verdict === 'could be zero'
      ? `${subject} against ${reference}: the difference in ${names[kind]} could be zero at every speed.`
      : `${subject} has ${verdict} ${names[kind]}${kind === 'total' ? ' together' : ''} than ${reference} at every speed.`;
  }
  const parts = directions.map((direction) => `in ${direction.name} ${reachWords(direction.points, units)}`);
  return `${subject} against ${reference}, ${names[kind]}: ${parts.join('; ')}.`;
}

type ReachVerdict = 'less' | 'more' | 'could be zero';

const verdictOf = ({ low95_N, high95_N }: CurvePoint): ReachVerdict =>
  high95_N < 0 ? 'less' : low95_N > 0 ? 'more' : 'could be zero';

/** "less up to 84 mm/s, could be zero beyond"; runs of one verdict by increasing speed. */
function reachWords(points: readonly CurvePoint[], units: DisplayUnits): string {
  const runs: { verdict: ReachVerdict; from: CurvePoint; to: CurvePoint }[] = [];
  for (const point of points) {
    const last = runs.at(-1);
    if (last && last.verdict === verdictOf(point)) last.to = point;
    else runs.push({ verdict: verdictOf(point), from: point, to: point });
  }
  if (runs.length === 1) return `${runs[0]!.verdict} at every speed`;
  return runs
    .map(({ verdict, from, to }, index) => {
      if (index === 0) return `${verdict} up to ${speedText(to.velocity_m_per_s, units)}`;
      const begin = speedText(from.velocity_m_per_s, units);
      if (index === runs.length - 1) return `${verdict} from ${begin} on`;
      return `${verdict} from ${begin} to ${speedText(to.velocity_m_per_s, units)}`;
    })
    .join(', ');
}

/**
 * How even drag is along the travel: the build whose drag varies most, where it varies beyond its intervals.
 * @returns null where none slid
 */
export function dragAlongSentence(
  builds: readonly { readonly name: string; readonly along: readonly DragPart[] }[],
  units: DisplayUnits = metric,
): string | null {
  const slid = builds.flatMap(({ name, along }) => {
    const drags = along.flatMap(({ position_m, compression_N, rebound_N }) =>
      [compression_N, rebound_N].flatMap((drag) => (drag ? [{ position_m, ...drag }] : [])),
    );
    const sorted = drags.toSorted((a, b) => a.value - b.value);
    return sorted.length > 0 ? [{ name, least: sorted[0]!, most: sorted.at(-1)! }] : [];
  });
  if (slid.length === 0) return null;
  const uneven = slid
    .filter(({ least, most }) => most.low95 > least.high95)
    .toSorted((a, b) => b.most.value - b.least.value - (a.most.value - a.least.value))[0];
  if (!uneven) return 'Drag is even along the travel: no part of it stands out of its interval.';
  const { unit, factor } = displayScale('force', units);
  const length = displayScale('length', units);
  const { name, least, most } = uneven;
  const at = `${formatChosen(most.position_m * length.factor)} ${length.unit}`;
  return (
    `${slid.length > 1 ? `Most uneven is ${name}: its` : `${sentenceCase(name)}: its`} drag goes from ` +
    `${formatNumber(least.value * factor)} to ${formatNumber(most.value * factor)} ${unit} along the travel, highest at ${at}.`
  );
}
