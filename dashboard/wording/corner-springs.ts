import { fromNewtonPerMetre, scaleEstimate } from '../../analysis/index.js';
import type { CornerSpringsAnswer, SprungCorner } from '../answers/index.js';
import { cornerSentences } from './corner.js';
import { formatChosen, formatDecimals, formatNumber, plusMinus } from './numbers.js';
import { speedText } from './speeds.js';

/** A corner on its spring and on another: what the other would change first, then each of them. */
export function cornerSpringsSentences({ corners }: CornerSpringsAnswer): string[] {
  const [present, proposed] = corners;
  return [
    ...(present && proposed ? [changeSentence(present, proposed)] : []),
    ...cornerSentences({ corners: corners.map(({ corner }) => corner), springForPack: [] }),
  ];
}

function changeSentence(present: SprungCorner, proposed: SprungCorner): string {
  const frequencies = [proposed, present].map(({ frequency_Hz }) => plusMinus(frequency_Hz, 'Hz'));
  const ride = `The proposed spring makes it ride at ${frequencies.join(' instead of ')}`;
  const [before, after] = [present.corner.landing, proposed.corner.landing];
  if (!before || !after) return `${ride}.`;
  if (before.stopReached && after.stopReached)
    return `${ride}, and it still meets the stop when it lands from ${formatChosen(after.drop_mm)} mm.`;
  if (before.stopReached)
    return `${ride}, and keeps it off the stop when it lands from ${formatChosen(after.drop_mm)} mm.`;
  if (after.stopReached)
    return `${ride}, and lets it meet the stop when it lands from ${formatChosen(after.drop_mm)} mm, which the present one does not.`;
  const [less, more] = [after, before].map(({ travelUsed_mm }) => formatDecimals(travelUsed_mm, 1));
  return `${ride}, and uses ${less} instead of ${more} mm of the travel when it lands from ${formatChosen(after.drop_mm)} mm.`;
}

export interface CornerSpringsRow {
  readonly quantity: string;
  /** One a spring. */
  readonly cells: readonly string[];
}

/** Peak speeds of the shock whose damping ratios are told. */
const toldSpeeds_m_per_s = [0.05, 0.1, 0.2];

/** One row a quantity, one cell a spring; an asterisk stands where the curve was led beyond the measured speeds. */
export function cornerSpringsRows({ corners, travel_mm }: CornerSpringsAnswer): CornerSpringsRow[] {
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
    row('Sag, mm (give or take what drag holds)', ({ corner }) =>
      corner.state === 'free'
        ? `${formatDecimals(corner.sag_mm, 1)} ± ${formatDecimals(corner.sagDrag_mm, 1)}`
        : corner.state === 'bottomed'
          ? 'on its stop'
          : 'fully extended',
    ),
    row('Rides at, Hz', ({ frequency_Hz }) => plusMinus(frequency_Hz, '')),
    ...toldSpeeds_m_per_s.map((speed) =>
      row(`Damping ratio at ${speedText(speed)}`, ({ dampingRatios }) => {
        const ratio = dampingRatios.find(({ speed_m_per_s }) => speed_m_per_s === speed);
        return ratio ? `${plusMinus(ratio.total, '')}${ratio.extrapolated ? ' *' : ''}` : '–';
      }),
    ),
    row('Pushed and let go, rests off its height by, mm', ({ swing, corner }) =>
      swing ? formatDecimals(Math.abs(corner.freeResponse.restsOff_mm), 1) : '–',
    ),
    ...(lands
      ? [
          row(`Landing uses, mm of ${formatChosen(travel_mm)}`, ({ corner: { landing } }) =>
            landing
              ? landing.stopReached
                ? 'all, to the stop'
                : formatDecimals(landing.travelUsed_mm, 1)
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
export function swingPictureSentence({ corners }: CornerSpringsAnswer): string {
  const swinging = corners.filter(({ swing }) => swing);
  const [first] = swinging;
  if (!first) return '';
  const rests = swinging.map(
    ({ corner: { freeResponse }, spring }) =>
      `${formatDecimals(Math.abs(freeResponse.restsOff_mm), 1)} mm on the ${spring.name.toLowerCase()}`,
  );
  return `Pushed down ${formatDecimals(first.corner.freeResponse.push_mm, 1)} mm and let go, drag leaves it off its height by ${rests.join(' and ')}.`;
}

/** Above the picture of the landing. */
export function landingPictureSentence({ corners, travel_mm }: CornerSpringsAnswer): string {
  const landings = corners.flatMap(({ corner: { landing }, spring }) =>
    landing ? [{ landing, on: `on the ${spring.name.toLowerCase()}` }] : [],
  );
  const [first] = landings;
  if (!first) return '';
  const uses = landings.map(({ landing, on }) =>
    landing.stopReached
      ? `it meets the stop ${on}`
      : `it uses ${formatDecimals(landing.travelUsed_mm, 1)} of ${formatChosen(travel_mm)} mm ${on}`,
  );
  const guessed = landings.some(({ landing }) => landing.extrapolated)
    ? ' The shock moves faster than it was measured, so take this as a guess.'
    : '';
  return `Landing from ${formatChosen(first.landing.drop_mm)} mm ${uses.join(', and ')}.${guessed}`;
}
