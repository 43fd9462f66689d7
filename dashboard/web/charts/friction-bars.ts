import type { Data, Layout } from 'plotly.js-dist-min';
import { type Estimate, scaleEstimate } from '../../../analysis/index.js';
import { amountText } from '../../wording/index.js';
import type { Theme } from '../theme.js';
import { axis, baseLayout } from './axes.js';
import { barTrace, groupedRows, intervalTrace } from './bars.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** In the units shown. */
interface Bar {
  readonly build: PicturedBuild;
  readonly title: string;
  readonly text: string;
  readonly estimate: Estimate;
  readonly singles: readonly { readonly remount: number; readonly value: number }[];
  /** Place on the vertical axis, downwards. */
  readonly row: number;
}

/**
 * Drag and breakaway as bars from zero with their 95 % intervals in ink; each remount alone is a small mark
 * on its bar, so that the spread between remounts is seen.
 */
export function frictionBarsFigure(
  chosen: readonly PicturedBuild[],
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const { force } = scalesOf(units);
  const builds = visible(chosen);
  const groups = [
    { title: 'Drag', of: (build: PicturedBuild) => build.drag_N, single: 'drag_N' },
    { title: 'Breakaway', of: (build: PicturedBuild) => build.breakaway_N, single: 'breakaway_N' },
  ] as const;
  const rows = groupedRows(
    groups.map(({ title }) => title),
    builds.length,
    theme,
  );
  const bars = groups.flatMap((group, place) =>
    builds.flatMap((build, index): Bar[] => {
      const estimate = group.of(build);
      if (!estimate) return [];
      const singles = build.remounts.flatMap((remount) => {
        const single_N = remount[group.single];
        return single_N === null ? [] : [{ remount: remount.remount, value: single_N * force.factor }];
      });
      return [
        {
          build,
          title: group.title,
          text: amountText(estimate, 'force', units),
          estimate: scaleEstimate(estimate, force.factor),
          singles,
          row: rows.rowOf(place, index),
        },
      ];
    }),
  );
  const reach = Math.max(
    0.1 * force.factor,
    ...bars.flatMap((bar) => [bar.estimate.high95, ...bar.singles.map(({ value }) => value)]),
  );
  const margin = { l: isNarrow ? 88 : 92, r: 12, t: 8, b: 52 };
  // Room for the value written behind the bar.
  const share = 1 - Math.min(0.6, 136 / (size.width - margin.l - margin.r));
  return {
    data: bars.flatMap((bar) => [
      barTrace(bar.build.name, bar.build.identity, bar.estimate.value, bar.row),
      // In the upper half of the bar, clear of the remounts' own marks.
      intervalTrace(bar.estimate, bar.row - 0.14, { color: theme.ink, size: 1 }, theme),
      marksTrace(bar),
    ]),
    layout: {
      ...baseLayout(theme, margin),
      bargap: 0,
      xaxis: axis(theme, `Force, ${force.unit}`, [0, reach / share], isNarrow),
      yaxis: rows.axis,
      annotations: bars.map((bar) => valueText(bar, theme)),
    },
    table: () => ({
      columns: [
        'build',
        'quantity',
        'what',
        heading('force', force),
        heading('force_low95', force),
        heading('force_high95', force),
      ],
      rows: bars.flatMap(({ build, title, estimate, singles }) => [
        [build.name, title, 'mean of the remounts', estimate.value, estimate.low95, estimate.high95],
        ...singles.map(({ remount, value }) => [
          build.name,
          title,
          `remount ${remount} alone`,
          value,
          null,
          null,
        ]),
      ]),
    }),
  };
}

function marksTrace({ build, singles, row }: Bar): Data {
  return {
    type: 'scatter',
    mode: 'markers',
    x: singles.map(({ value }) => value),
    y: singles.map(() => row + 0.18),
    marker: { color: build.identity.colour, size: 6, symbol: build.identity.marker },
    hoverinfo: 'skip',
  };
}

function valueText(
  { estimate, singles, text, row }: Bar,
  theme: Theme,
): NonNullable<Layout['annotations']>[number] {
  return {
    text,
    x: Math.max(estimate.high95, ...singles.map(({ value }) => value)),
    y: row,
    xanchor: 'left',
    yanchor: 'middle',
    xshift: 10,
    showarrow: false,
    font: { size: 13, color: theme.ink },
  };
}
