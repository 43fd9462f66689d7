import { fromNewtonPerMetre, scaleEstimate } from '../../analysis/index.js';
import type { CornerSpringsAnswer, SprungCorner } from '../answers/index.js';
import { lengthNumber, lengthText, valueText } from './amounts.js';
import { cornerSentences } from './corner.js';
import { formatChosen, formatNumber, plusMinus } from './numbers.js';
import { speedText } from './speeds.js';
import { type DisplayUnits, metric } from './units.js';

/** A corner on its spring and on another: what the other would change first, then each of them. */
export function cornerSpringsSentences(
  { corners }: CornerSpringsAnswer,
  units: DisplayUnits = metric,
): string[] {
  const [present, proposed] = corners;
  return [
    ...(present && proposed ? [changeSentence(present, proposed, units)] : []),
    ...cornerSentences({ corners: corners.map(({ corner }) => corner), springForPack: [] }, units),
  ];
}

function changeSentence(present: SprungCorner, proposed: SprungCorner, units: DisplayUnits): string {
  const frequencies = [proposed, present].map(({ frequency_Hz }) => plusMinus(frequency_Hz, 'Hz'));
  const ride = `The proposed spring makes it ride at ${frequencies.join(' instead of ')}`;
  const [before, after] = [present.corner.landing, proposed.corner.landing];
  if (!before || !after) return `${ride}.`;
  const drop = typedLength(after.drop_mm, units);
  if (before.stopReached && after.stopReached)
    return `${ride}, and it still meets the stop when it lands from ${drop}.`;
  if (before.stopReached) return `${ride}, and keeps it off the stop when it lands from ${drop}.`;
  if (after.stopReached)
    return `${ride}, and lets it meet the stop when it lands from ${drop}, which the present one does not.`;
  const [less, more] = [after, before].map(({ travelUsed_mm }) => lengthNumber(travelUsed_mm, units));
  return `${ride}, and uses ${less} instead of ${more} ${units.length} of the travel when it lands from ${drop}.`;
}

export interface CornerSpringsRow {
  readonly quantity: string;
  /** One a spring. */
  readonly cells: readonly string[];
}

/** Peak speeds of the shock whose damping ratios are told. */
const toldSpeeds_m_per_s = [0.05, 0.1, 0.2];

/** One row a quantity, one cell a spring; an asterisk stands where the curve was led beyond the measured speeds. */
export function cornerSpringsRows(
  { corners, travel_mm }: CornerSpringsAnswer,
  units: DisplayUnits = metric,
): CornerSpringsRow[] {
  const { length } = units;
  const row = (quantity: string, cell: (corner: SprungCorner) => string): CornerSpringsRow => ({
    quantity,
    cells: corners.map(cell),
  });
  const rate = (unit: 'N/mm' | 'lbf/in' | 'gf/mm') =>
    row(`Rate, ${unit}`, ({ spring }) =>
      plusMinus(scaleEstimate(spring.rate_N_per_m, fromNewtonPerMetre(1, unit)), ''),
    );
  const lands = corners.some(({ corner }) => corner.landing);
  return [
    rate('N/mm'),
    rate('lbf/in'),
    rate('gf/mm'),
    row(`Sag, ${length} (give or take what drag holds)`, ({ corner }) =>
      corner.state === 'free'
        ? `${lengthNumber(corner.sag_mm, units)} ± ${lengthNumber(corner.sagDrag_mm, units)}`
        : corner.state === 'bottomed'
          ? 'on its stop'
          : 'fully extended',
    ),
    row('Rides at, Hz', ({ frequency_Hz }) => plusMinus(frequency_Hz, '')),
    ...toldSpeeds_m_per_s.map((speed) =>
      row(`Damping ratio at ${speedText(speed, units)}`, ({ dampingRatios }) => {
        const ratio = dampingRatios.find(({ speed_m_per_s }) => speed_m_per_s === speed);
        return ratio ? `${plusMinus(ratio.total, '')}${ratio.extrapolated ? ' *' : ''}` : '–';
      }),
    ),
    row(`Pushed and let go, rests off its height by, ${length}`, ({ swing, corner }) =>
      swing ? lengthNumber(Math.abs(corner.freeResponse.restsOff_mm), units) : '–',
    ),
    ...(lands
      ? [
          row(
            `Landing uses, ${length} of ${typedLength(travel_mm, units).replace(` ${length}`, '')}`,
            ({ corner: { landing } }) =>
              landing
                ? landing.stopReached
                  ? 'all, to the stop'
                  : lengthNumber(landing.travelUsed_mm, units)
                : '–',
          ),
          row('Landing, body feels, times its weight', ({ corner: { landing } }) =>
            landing
              ? `${formatNumber(landing.peakLoad, 2)}${landing.stopReached ? ' and the stop' : ''}`
              : '–',
          ),
        ]
      : []),
  ];
}

/** Above the picture of the free response. */
export function swingPictureSentence({ corners }: CornerSpringsAnswer, units: DisplayUnits = metric): string {
  const swinging = corners.filter(({ swing }) => swing);
  const [first] = swinging;
  if (!first) return '';
  const rests = swinging.map(
    ({ corner: { freeResponse }, spring }) =>
      `${lengthText(Math.abs(freeResponse.restsOff_mm), units)} on the ${spring.name.toLowerCase()}`,
  );
  return `Pushed down ${lengthText(first.corner.freeResponse.push_mm, units)} and let go, drag leaves it off its height by ${rests.join(' and ')}.`;
}

/** Above the picture of the landing. */
export function landingPictureSentence(
  { corners, travel_mm }: CornerSpringsAnswer,
  units: DisplayUnits = metric,
): string {
  const landings = corners.flatMap(({ corner: { landing }, spring }) =>
    landing ? [{ landing, on: `on the ${spring.name.toLowerCase()}` }] : [],
  );
  const [first] = landings;
  if (!first) return '';
  const uses = landings.map(({ landing, on }) =>
    landing.stopReached
      ? `it meets the stop ${on}`
      : `it uses ${lengthNumber(landing.travelUsed_mm, units)} of ${typedLength(travel_mm, units)} ${on}`,
  );
  const guessed = landings.some(({ landing }) => landing.extrapolated)
    ? ' The shock moves faster than it was measured, so take this as a guess.'
    : '';
  return `Landing from ${typedLength(first.landing.drop_mm, units)} ${uses.join(', and ')}.${guessed}`;
}

/** A length that somebody typed. */
const typedLength = (value_mm: number, units: DisplayUnits): string =>
  valueText(value_mm, 'length', units, 1e-3, formatChosen);
