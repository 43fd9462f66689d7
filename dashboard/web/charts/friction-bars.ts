import type { Data } from 'plotly.js-dist-min';
import { scaleEstimate } from '../../../analysis/index.js';
import { amountText } from '../../wording/index.js';
import { axis, baseLayout } from './axes.js';
import { type Bar, barsTrace, groupedRows, intervalsTrace, markersOf, valuesTrace } from './bars.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** In the units shown. */
interface FrictionBar extends Bar {
  readonly name: string;
  readonly title: string;
  readonly text: string;
  readonly singles: readonly { readonly remount: number; readonly value: number }[];
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
    builds.flatMap((build, index): FrictionBar[] => {
      const estimate = group.of(build);
      if (!estimate) return [];
      const singles = build.remounts.flatMap((remount) => {
        const single_N = remount[group.single];
        return single_N === null ? [] : [{ remount: remount.remount, value: single_N * force.factor }];
      });
      return [
        {
          name: build.name,
          identity: build.identity,
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
  const share = 1 - Math.min(0.6, 148 / (size.width - margin.l - margin.r));
  return {
    data: [
      barsTrace(bars),
      // In the upper half of each bar, clear of the remounts' own marks.
      intervalsTrace(
        bars.map((bar) => ({ ...bar, row: bar.row - 0.14 })),
        { color: theme.ink, size: 1 },
        theme,
      ),
      marksTrace(bars),
      valuesTrace(bars.map(valueText), 'right', 13, theme),
    ],
    layout: {
      ...baseLayout(theme, margin),
      bargap: 0,
      xaxis: axis(theme, `Force, ${force.unit}`, [0, reach / share], isNarrow),
      yaxis: rows.axis,
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
      rows: bars.flatMap(({ name, title, estimate, singles }) => [
        [name, title, 'mean of the remounts', estimate.value, estimate.low95, estimate.high95],
        ...singles.map(({ remount, value }) => [name, title, `remount ${remount} alone`, value, null, null]),
      ]),
    }),
  };
}

function marksTrace(bars: readonly FrictionBar[]): Data {
  const marks = bars.flatMap(({ identity, singles, row }) =>
    singles.map(({ value }) => ({ identity, value, row: row + 0.18 })),
  );
  return {
    type: 'scatter',
    mode: 'markers',
    x: marks.map(({ value }) => value),
    y: marks.map(({ row }) => row),
    marker: markersOf(marks.map(({ identity }) => identity)),
    hoverinfo: 'skip',
  };
}

const valueText = ({ estimate, singles, text, row }: FrictionBar) => ({
  text,
  at: Math.max(estimate.high95, ...singles.map(({ value }) => value)),
  row,
});
