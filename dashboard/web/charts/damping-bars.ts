import { type Estimate, scaleEstimate } from '../../../analysis/index.js';
import { amountText, formatChosen } from '../../wording/index.js';
import type { Identity } from '../identity/identity.js';
import { axis, baseLayout } from './axes.js';
import { type Bar, barsTrace, groupedRows, intervalsTrace, markersOf, valuesTrace } from './bars.js';
import { heading } from './picture-table.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** Damping of one build at one speed; null where it was not measured. */
export interface DampingAtSpeed {
  readonly name: string;
  readonly identity: Identity;
  readonly speed_m_per_s: number;
  readonly compression_N: Estimate | null;
  readonly rebound_N: Estimate | null;
}

const ROW_PX = 22;

/** Height that a picture of so many bars needs. */
export const dampingBarsHeight = (bars: number, speeds: number, least: number): number =>
  Math.max(least, ROW_PX * (bars + speeds) + 72);

/** Damping at chosen speeds: rebound bars to the left of zero, compression bars to the right, intervals in ink. */
export function dampingBarsFigure(
  bars: readonly DampingAtSpeed[],
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const { force, velocity } = scalesOf(units);
  const speeds = [...new Set(bars.map(({ speed_m_per_s }) => speed_m_per_s))];
  const each = bars.length / Math.max(1, speeds.length);
  const rows = groupedRows(
    speeds.map((speed) => `${formatChosen(speed * velocity.factor)} ${velocity.unit}`),
    each,
    theme,
  );
  const rowOf = (index: number) => rows.rowOf(Math.floor(index / each), index % each);
  const drawn = bars.flatMap(({ identity, compression_N, rebound_N }, index) =>
    [rebound_N && scaleEstimate(rebound_N, -1), compression_N].flatMap((estimate): Bar[] =>
      estimate ? [{ identity, estimate: scaleEstimate(estimate, force.factor), row: rowOf(index) }] : [],
    ),
  );
  const margin = { l: isNarrow ? 72 : 84, r: 12, t: 8, b: 52 };
  const ends = drawn.flatMap(({ estimate }) => [estimate.low95, estimate.high95]);
  // Room for the value written behind either end.
  const share = 1 - Math.min(0.7, 208 / (size.width - margin.l - margin.r));
  const [low, high] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  const text = ((high - low) / share - (high - low)) / 2 || 1;
  return {
    data: [
      barsTrace(drawn),
      intervalsTrace(drawn, markersOf(drawn.map(({ identity }) => identity)), theme),
      valuesTrace(valuesOf(1), 'right', 12, theme),
      valuesTrace(valuesOf(-1), 'left', 12, theme),
    ],
    layout: {
      ...baseLayout(theme, margin),
      bargap: 0,
      // Both directions of a build lie in one row.
      barmode: 'overlay',
      xaxis: axis(
        theme,
        `Damping, ${force.unit}${isNarrow ? '' : ' (rebound left, compression right)'}`,
        [low - text, high + text],
        isNarrow,
      ),
      yaxis: rows.axis,
    },
    table: () => ({
      columns: [
        'build',
        'direction',
        heading('speed', velocity),
        heading('damping', force),
        heading('damping_low95', force),
        heading('damping_high95', force),
      ],
      rows: bars.flatMap(({ name, speed_m_per_s, ...of }) =>
        (['compression', 'rebound'] as const).flatMap((direction) => {
          const estimate = of[`${direction}_N`];
          if (!estimate) return [];
          const { value, low95, high95 } = scaleEstimate(estimate, force.factor);
          return [[name, direction, speed_m_per_s * velocity.factor, value, low95, high95]];
        }),
      ),
    }),
  };

  /** Magnitudes, as damping is quoted; the side says the direction. */
  function valuesOf(direction: 1 | -1) {
    return bars.flatMap(({ compression_N, rebound_N }, index) => {
      const estimate = direction > 0 ? compression_N : rebound_N;
      if (!estimate) return [];
      const text = amountText(estimate, 'force', units).replace(` ${force.unit}`, '');
      return [{ text, at: direction * estimate.high95 * force.factor, row: rowOf(index) }];
    });
  }
}
