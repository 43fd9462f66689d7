import type { OverlayKind } from '../../answers/index.js';
import { overlayName } from '../../wording/index.js';
import { axis, baseLayout, rangeOf } from './axes.js';
import { band, buildLabels, line, numbersOf, velocityTitle } from './force-velocity.js';
import { lineLabels } from './line-labels.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** What each build has more than the reference against velocity, with its band; the reference is the line at zero. */
export function differenceFigure(
  builds: readonly PicturedBuild[],
  kind: OverlayKind,
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const scales = scalesOf(units);
  const { velocity, force } = scales;
  const [reference, ...others] = builds;
  const shown = visible(others).map((build) => ({ ...build, total: build.difference }));
  const margin = { l: isNarrow ? 44 : 60, r: isNarrow ? 12 : 168, t: 8, b: 52 };
  const points = shown.flatMap(({ total }) => total);
  const x = rangeOf(
    points.map(({ velocity_m_per_s }) => velocity_m_per_s * velocity.factor),
    0.03,
  );
  const y = rangeOf([
    0,
    ...points.flatMap(({ low95_N, high95_N }) => [low95_N * force.factor, high95_N * force.factor]),
  ]);
  const ends = buildLabels(others, scales, theme.faint, ({ difference }) => difference);
  return {
    data: [],
    lines: shown.map((build) => line(build, scales)),
    bands: shown.map((build) => band(build, scales)),
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, velocityTitle(scales, isNarrow), x, isNarrow),
      yaxis: {
        ...axis(
          theme,
          isNarrow ? `More, ${force.unit}` : `More ${overlayName(kind).toLowerCase()}, ${force.unit}`,
          y,
        ),
        zerolinecolor: theme.ink,
      },
    },
    labels: isNarrow ? [] : lineLabels(ends, y, size.height - margin.t - margin.b, theme.ink),
    table: () => ({
      columns: [
        'build',
        'reference',
        heading('velocity', velocity),
        heading('difference', force),
        heading('difference_low95', force),
        heading('difference_high95', force),
      ],
      rows: shown.flatMap(({ name, total }) =>
        total.map((point) => [name, reference!.name, ...numbersOf(point, scales)]),
      ),
    }),
  };
}
