import { type Estimate, scaleEstimate } from '../../../analysis/index.js';
import { withOpacity } from '../identity/palette.js';
import type { Side } from '../together/view.js';
import { axis, baseLayout, rangeOf } from './axes.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure } from './plotly.js';
import { type Scales, type Setting, scalesOf } from './setting.js';
import type { Band, MarkedLine } from './underlay.js';

/** In the units shown. */
interface PlacedDrag {
  readonly at: number;
  readonly drag: Estimate;
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
      .map((direction) => {
        const drags = dragsOf(build, direction, scales);
        const sign = direction === 'rebound' ? -1 : 1;
        const drawn = drags.map(({ at, drag }) => ({ at, drag: scaleEstimate(drag, sign) }));
        return { build, direction, drags, drawn };
      }),
  );
  const places = pieces.flatMap(({ drawn }) => drawn);
  const x = rangeOf(
    places.map(({ at }) => at),
    0.04,
  );
  const y = rangeOf([0, ...places.flatMap(({ drag: { low95, high95 } }) => [low95, high95])]);
  return {
    data: [],
    lines: pieces.map(({ build, drawn }) => line(build, drawn)),
    bands: pieces.map(({ build, drawn }) => band(build, drawn)),
    layout: {
      ...baseLayout(theme, { l: isNarrow ? 44 : 60, r: 12, t: 8, b: 52 }),
      xaxis: axis(theme, positionTitle(scales, isNarrow), x, isNarrow),
      yaxis: axis(theme, `Drag, ${force.unit}`, y),
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
        drags.map(({ at, drag }) => [build.name, direction, at, drag.value, drag.low95, drag.high95]),
      ),
    }),
  };
}

export const positionTitle = ({ length }: Scales, isNarrow: boolean): string =>
  `Position, ${length.unit}${isNarrow ? '' : ' (compression to the right)'}`;

function dragsOf(
  { dragAlong }: PicturedBuild,
  direction: 'compression' | 'rebound',
  { force, length }: Scales,
): PlacedDrag[] {
  return dragAlong.flatMap(({ position_m, ...of }) => {
    const drag_N = of[`${direction}_N`];
    return drag_N ? [{ at: position_m * length.factor, drag: scaleEstimate(drag_N, force.factor) }] : [];
  });
}

const band = ({ identity }: PicturedBuild, drags: readonly PlacedDrag[]): Band => ({
  x: [...drags, ...drags.toReversed()].map(({ at }) => at),
  y: [...drags.map(({ drag }) => drag.high95), ...drags.toReversed().map(({ drag }) => drag.low95)],
  colour: withOpacity(identity.colour, 0.16),
});

const line = ({ name, identity }: PicturedBuild, drags: readonly PlacedDrag[]): MarkedLine => ({
  name,
  x: drags.map(({ at }) => at),
  y: drags.map(({ drag }) => drag.value),
  identity,
  width: 2,
  markers: { size: 7, most: 4 },
});
