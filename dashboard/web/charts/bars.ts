import type { Data, Layout } from 'plotly.js-dist-min';
import type { Estimate } from '../../../analysis/index.js';
import type { Identity } from '../identity/identity.js';
import { withOpacity } from '../identity/palette.js';
import type { Theme } from '../theme.js';
import { axis } from './axes.js';

/** Room between groups of bars, in bars. */
const GAP = 0.8;

/** Where bars in groups of equally many lie, from above, and the axis that names the groups. */
export function groupedRows(
  groups: readonly string[],
  each: number,
  theme: Theme,
): {
  /** @returns the row of a group's bar, both counted from 0 */
  rowOf(group: number, bar: number): number;
  readonly axis: Partial<NonNullable<Layout['yaxis']>>;
} {
  const rowOf = (group: number, bar: number) => group * (each + GAP) + bar;
  return {
    rowOf,
    axis: {
      ...axis(theme, '', [rowOf(groups.length, 0) - GAP - 0.5, -0.7]),
      tickvals: groups.map((_, group) => rowOf(group, (each - 1) / 2)),
      ticktext: [...groups],
      tickfont: { size: 13, color: theme.ink },
      ticklabelstandoff: 8,
      showgrid: false,
      zeroline: false,
    },
  };
}

/** A bar of a build, in the units shown. */
export interface Bar {
  readonly identity: Identity;
  readonly estimate: Estimate;
  /** Place on the vertical axis, downwards. */
  readonly row: number;
}

/** Bars from zero; one trace for all, since each trace costs the chart library as much as all its bars. */
export const barsTrace = (bars: readonly Bar[]): Data => ({
  type: 'bar',
  orientation: 'h',
  x: bars.map(({ estimate }) => estimate.value),
  y: bars.map(({ row }) => row),
  width: 0.72,
  marker: {
    color: bars.map(({ identity }) => withOpacity(identity.colour, 0.14)),
    line: { color: bars.map(({ identity }) => identity.colour), width: 1.5 },
  },
  hoverinfo: 'skip',
});

/** Intervals about the ends of bars, with markers at their values. */
export const intervalsTrace = (bars: readonly Bar[], marker: object, theme: Theme): Data => ({
  type: 'scatter',
  mode: 'markers',
  x: bars.map(({ estimate }) => estimate.value),
  y: bars.map(({ row }) => row),
  marker,
  error_x: {
    type: 'data',
    symmetric: false,
    array: bars.map(({ estimate }) => estimate.high95 - estimate.value),
    arrayminus: bars.map(({ estimate }) => estimate.value - estimate.low95),
    color: theme.ink,
    thickness: 1.5,
    width: 5,
  },
  hoverinfo: 'skip',
});

/** Markers of builds, one for each place. */
export const markersOf = (
  identities: readonly Identity[],
): { readonly color: string[]; readonly size: number; readonly symbol: Identity['marker'][] } => ({
  color: identities.map(({ colour }) => colour),
  size: 6,
  symbol: identities.map(({ marker }) => marker),
});

/** An en space and a thin one, about 8 px. */
const OFF_THE_BAR = '\u2002\u2009';

/** Values written behind the ends of bars; one trace for all that lie on one side. */
export const valuesTrace = (
  values: readonly { readonly text: string; readonly at: number; readonly row: number }[],
  side: 'left' | 'right',
  size: number,
  theme: Theme,
): Data => ({
  type: 'scatter',
  mode: 'text',
  x: values.map(({ at }) => at),
  y: values.map(({ row }) => row),
  text: values.map(({ text }) => (side === 'left' ? `${text}${OFF_THE_BAR}` : `${OFF_THE_BAR}${text}`)),
  textposition: `middle ${side}`,
  textfont: { size, color: theme.ink },
  cliponaxis: false,
  hoverinfo: 'skip',
});
