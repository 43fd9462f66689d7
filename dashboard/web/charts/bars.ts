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

/** A bar from zero. */
export const barTrace = (name: string, { colour }: Identity, value: number, row: number): Data => ({
  type: 'bar',
  orientation: 'h',
  name,
  x: [value],
  y: [row],
  width: 0.72,
  marker: { color: withOpacity(colour, 0.14), line: { color: colour, width: 1.5 } },
  hoverinfo: 'skip',
});

/** An interval about the end of a bar, with a marker at its value. */
export const intervalTrace = (
  { value, low95, high95 }: Estimate,
  row: number,
  marker: { readonly color: string; readonly size: number; readonly symbol?: Identity['marker'] },
  theme: Theme,
): Data => ({
  type: 'scatter',
  mode: 'markers',
  x: [value],
  y: [row],
  marker,
  error_x: {
    type: 'data',
    symmetric: false,
    array: [high95 - value],
    arrayminus: [value - low95],
    color: theme.ink,
    thickness: 1.5,
    width: 5,
  },
  hoverinfo: 'skip',
});
