import type { Data } from 'plotly.js-dist-min';
import type { Estimate } from '../../../analysis/index.js';
import { withOpacity } from '../identity/palette.js';
import type { Side } from '../together/view.js';
import { axis, baseLayout, rangeOf } from './axes.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure } from './plotly.js';
import { type Scales, type Setting, scalesOf } from './setting.js';

interface PlacedDrag {
  readonly position_m: number;
  readonly drag_N: Estimate;
}

/** Drag against position: compression above zero, rebound below, as the shock pushes back, with its 95 % band. */
export function dragPositionFigure(
  builds: readonly PicturedBuild[],
  side: Side,
  { theme, isNarrow, units }: Setting,
): Figure {
  const scales = scalesOf(units);
  const { force, length } = scales;
  const pieces = visible(builds).flatMap((build) =>
    (['compression', 'rebound'] as const)
      .filter((direction) => side === 'both' || side === direction)
      .map((direction) => ({ build, direction, drags: dragsOf(build, direction) })),
  );
  const signed = pieces.flatMap(({ direction, drags }) =>
    drags.flatMap(({ drag_N }) =>
      [drag_N.low95, drag_N.high95].map((end) => (direction === 'rebound' ? -end : end) * force.factor),
    ),
  );
  const x = rangeOf(
    pieces.flatMap(({ drags }) => drags.map(({ position_m }) => position_m * length.factor)),
    0.04,
  );
  return {
    data: [
      ...pieces.map(({ build, direction, drags }) => band(build, direction, drags, scales)),
      ...pieces.map(({ build, direction, drags }) => line(build, direction, drags, scales)),
    ],
    layout: {
      ...baseLayout(theme, { l: isNarrow ? 44 : 60, r: 12, t: 8, b: 52 }),
      xaxis: axis(theme, positionTitle(scales, isNarrow), x, isNarrow),
      yaxis: axis(theme, `Drag, ${force.unit}`, rangeOf([0, ...signed])),
    },
    table: () => ({
      columns: [
        'build',
        'direction',
        heading('position', length),
        heading('drag', force),
        heading('drag_low95', force),
        heading('drag_high95', force),
      ],
      rows: pieces.flatMap(({ build, direction, drags }) =>
        drags.map(({ position_m, drag_N: { value, low95, high95 } }) => [
          build.name,
          direction,
          position_m * length.factor,
          value * force.factor,
          low95 * force.factor,
          high95 * force.factor,
        ]),
      ),
    }),
  };
}

export const positionTitle = ({ length }: Scales, isNarrow: boolean): string =>
  `Position, ${length.unit}${isNarrow ? '' : ' (compression to the right)'}`;

type Direction = 'compression' | 'rebound';

function dragsOf({ dragAlong }: PicturedBuild, direction: Direction): PlacedDrag[] {
  return dragAlong.flatMap(({ position_m, ...of }) => {
    const drag_N = of[`${direction}_N`];
    return drag_N ? [{ position_m, drag_N }] : [];
  });
}

function band(
  { identity }: PicturedBuild,
  direction: Direction,
  drags: readonly PlacedDrag[],
  { force, length }: Scales,
): Data {
  const sign = direction === 'rebound' ? -force.factor : force.factor;
  return {
    type: 'scatter',
    mode: 'lines',
    x: [...drags, ...drags.toReversed()].map(({ position_m }) => position_m * length.factor),
    y: [
      ...drags.map(({ drag_N }) => sign * drag_N.high95),
      ...drags.toReversed().map(({ drag_N }) => sign * drag_N.low95),
    ],
    fill: 'toself',
    fillcolor: withOpacity(identity.colour, 0.16),
    line: { width: 0 },
    hoverinfo: 'skip',
  };
}

function line(
  { name, identity }: PicturedBuild,
  direction: Direction,
  drags: readonly PlacedDrag[],
  { force, length }: Scales,
): Data {
  const sign = direction === 'rebound' ? -force.factor : force.factor;
  return {
    type: 'scatter',
    mode: 'lines+markers',
    name,
    x: drags.map(({ position_m }) => position_m * length.factor),
    y: drags.map(({ drag_N }) => sign * drag_N.value),
    line: { color: identity.colour, width: 2, dash: identity.dash },
    marker: { color: identity.colour, size: 7, symbol: identity.marker, maxdisplayed: 4 },
    hoverinfo: 'skip',
  };
}
