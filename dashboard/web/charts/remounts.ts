import type { Data } from 'plotly.js-dist-min';
import type { MoreRemountsAnswer, RemountsTell } from '../../answers/index.js';
import type { Identity } from '../identity/identity.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, legendBelow, rangeOf, scaled } from './axes.js';
import { lineLabels } from './line-labels.js';
import { heading } from './picture-table.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** Times the line's own height that its band may take; two remounts know their spread so badly that it hides the rest. */
const mostBand = 1.6;

/** What a difference must be to be told, against the remounts of each build; the wanted one as a line across. */
export function remountsFigure(
  { byRemounts, now, wanted }: MoreRemountsAnswer,
  { colour, marker }: Identity,
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const { force } = scalesOf(units);
  const margin = { l: 64, r: isNarrow ? 12 : 176, t: 8, b: isNarrow ? 52 + 24 * 4 : 52 };
  const counts = byRemounts.map(({ remounts }) => remounts);
  const x = [1.5, counts.at(-1)! + 0.5] as const;
  const difference_N = wanted?.difference_N ?? null;
  const top = mostBand * Math.max(byRemounts[0]!.resolvable_N, now?.resolvable_N ?? 0, difference_N ?? 0);
  const y = scaled(rangeOf([0, top], 0.02), force.factor);
  const lineOf = (name: string, of: (told: RemountsTell) => number, line: object): Data => ({
    type: 'scatter',
    mode: 'lines',
    name,
    x: counts,
    y: byRemounts.map((told) => of(told) * force.factor),
    line,
    hoverinfo: 'skip',
  });
  const last = byRemounts.at(-1)!;
  const names = {
    told: 'told 4 times in 5',
    reach: 'reach of the interval',
    wanted: 'the wanted difference',
    now: 'recorded',
  };
  return {
    data: [
      lineOf(names.told, ({ resolvable_N }) => resolvable_N, { color: colour, width: 2.25 }),
      lineOf(names.reach, ({ halfWidth_N }) => halfWidth_N, { color: colour, width: 1.5, dash: 'dot' }),
      ...(difference_N === null
        ? []
        : [lineOf(names.wanted, () => difference_N, { color: theme.ink, width: 1.5, dash: 'dash' })]),
      ...(now
        ? [
            {
              type: 'scatter',
              mode: 'markers',
              name: names.now,
              x: [now.remounts],
              y: [now.resolvable_N * force.factor],
              marker: { color: colour, size: 11, symbol: marker },
              hoverinfo: 'skip',
            } as Data,
          ]
        : []),
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: {
        ...axis(theme, 'Remounts of each build', x, isNarrow),
        dtick: counts.length > 12 ? (isNarrow ? 4 : 2) : 1,
      },
      yaxis: axis(theme, `Difference, ${force.unit}`, y),
      ...legendBelow(isNarrow, 'v'),
    },
    labels: isNarrow
      ? []
      : lineLabels(
          [
            { text: names.told, y: last.resolvable_N * force.factor },
            { text: names.reach, y: last.halfWidth_N * force.factor },
            ...(difference_N === null ? [] : [{ text: names.wanted, y: difference_N * force.factor }]),
          ],
          y,
          size.height - margin.t - margin.b,
          theme.ink,
        ),
    bands: [
      {
        x: [...counts, ...counts.toReversed()],
        y: [
          ...byRemounts.map(({ cautious_N }) => Math.min(y[1], cautious_N * force.factor)),
          ...byRemounts.toReversed().map(({ resolvable_N }) => resolvable_N * force.factor),
        ],
        colour: withOpacity(colour, 0.16),
      },
    ],
    table: () => ({
      columns: [
        'remounts',
        ...['interval_reach', 'told', 'told_at_worst'].map((name) => heading(name, force)),
      ],
      rows: byRemounts.map(({ remounts, halfWidth_N, resolvable_N, cautious_N }) => [
        remounts,
        ...[halfWidth_N, resolvable_N, cautious_N].map((value) => value * force.factor),
      ]),
    }),
  };
}
