import type { Data, Layout } from 'plotly.js-dist-min';
import { type Estimate, scaleEstimate } from '../../../analysis/index.js';
import { amountText } from '../../wording/index.js';
import { withOpacity } from '../identity/palette.js';
import type { Theme } from '../theme.js';
import { axis, baseLayout } from './axes.js';
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
  const step = builds.length + 0.8;
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
          row: place * step + index,
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
    data: bars.flatMap((bar) => [barTrace(bar), intervalTrace(bar, theme), marksTrace(bar)]),
    layout: {
      ...baseLayout(theme, margin),
      bargap: 0,
      xaxis: axis(theme, `Force, ${force.unit}`, [0, reach / share], isNarrow),
      yaxis: {
        ...axis(theme, '', [2 * step - 1.3, -0.7]),
        tickvals: groups.map((_, place) => place * step + (builds.length - 1) / 2),
        ticktext: groups.map((group) => group.title),
        tickfont: { size: 13, color: theme.ink },
        ticklabelstandoff: 8,
        showgrid: false,
        zeroline: false,
      },
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

function barTrace({ build, estimate, row }: Bar): Data {
  return {
    type: 'bar',
    orientation: 'h',
    name: build.name,
    x: [estimate.value],
    y: [row],
    width: 0.72,
    marker: {
      color: withOpacity(build.identity.colour, 0.14),
      line: { color: build.identity.colour, width: 1.5 },
    },
    hoverinfo: 'skip',
  };
}

/** In the upper half of the bar, clear of the remounts' own marks. */
function intervalTrace({ estimate, row }: Bar, theme: Theme): Data {
  return {
    type: 'scatter',
    mode: 'markers',
    x: [estimate.value],
    y: [row - 0.14],
    marker: { color: theme.ink, size: 1 },
    error_x: {
      type: 'data',
      symmetric: false,
      array: [estimate.high95 - estimate.value],
      arrayminus: [estimate.value - estimate.low95],
      color: theme.ink,
      thickness: 1.5,
      width: 5,
    },
    hoverinfo: 'skip',
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
