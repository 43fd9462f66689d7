import type { Layout } from 'plotly.js-dist-min';
import type { Theme } from '../theme.js';

export type Range = readonly [low: number, high: number];

/** What a picture shows, in the units of its axes. */
export interface Axes {
  readonly x: Range;
  readonly y: Range;
}

/** What a layout shows. */
export const axesOf = ({ xaxis, yaxis }: Partial<Layout>): Axes => ({
  x: [...(xaxis!.range as unknown as Range)],
  y: [...(yaxis!.range as unknown as Range)],
});

export const areSame = (a: Axes, b: Axes): boolean =>
  [a.x, a.y].flat().every((end, i) => end === [b.x, b.y].flat()[i]);

/**
 * Smallest range around all values, widened by a share of itself and to the next small step, so that a selection which
 * differs by little has the same axis; null values are passed over.
 */
export function rangeOf(values: Iterable<number>, pad = 0.06): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (!(high > low)) return Number.isFinite(low) ? [low - 1, low + 1] : [-1, 1];
  const margin = (high - low) * pad;
  // At most a hundredth of the range.
  const step = 10 ** (Math.floor(Math.log10(high - low)) - 2);
  return [Math.floor((low - margin) / step) * step, Math.ceil((high + margin) / step) * step];
}

/** A range in another unit. */
export const scaled = ([low, high]: Range, factor: number): [number, number] => [low * factor, high * factor];

const sortedOnes = new WeakMap<readonly number[], Float64Array>();

/**
 * Lowest and highest of values without a share of them at either end; a few wild points do not set a scale.
 * @param values sorted once; not to be changed afterwards
 */
export function endsWithoutWild(values: readonly number[], share: number): Range | [] {
  if (values.length === 0) return [];
  const sorted = sortedOnes.get(values) ?? Float64Array.from(values).sort();
  sortedOnes.set(values, sorted);
  const last = sorted.length - 1;
  return [sorted[Math.round(share * last)]!, sorted[Math.round((1 - share) * last)]!];
}

/** Of a ground that lets through what lies behind it. */
export const CLEAR = 'rgba(0,0,0,0)';

/** Room around a plot, in pixels. */
export interface Margin {
  readonly l: number;
  readonly r: number;
  readonly t: number;
  readonly b: number;
}

/** What all pictures share: ink on the page's own ground, thin grid, stronger zero lines, no legend. */
export function baseLayout(theme: Theme, margin: Margin): Partial<Layout> {
  return {
    margin: { ...margin, pad: 0 },
    paper_bgcolor: theme.ground,
    plot_bgcolor: CLEAR,
    font: { family: theme.fontFamily, size: 13, color: theme.ink },
    showlegend: false,
    hovermode: false,
    dragmode: 'zoom',
    separators: '. ',
  };
}

/** Names of lines under a plot, for a phone, which has no room for them at the lines' ends. */
export const legendBelow = (
  isNarrow: boolean,
  orientation: 'h' | 'v',
): Pick<Layout, 'showlegend' | 'legend'> => ({
  showlegend: isNarrow,
  legend: { orientation, x: 0, y: 0, yref: 'container', yanchor: 'bottom', bgcolor: 'rgba(0,0,0,0)' },
});

/** One axis with its quantity and unit as title. */
export function axis(
  theme: Theme,
  title: string,
  range: Range,
  isNarrow = false,
): Partial<NonNullable<Layout['xaxis']>> {
  return {
    title: { text: title, standoff: 12, font: { size: 13, color: theme.ink } },
    range: [...range],
    gridcolor: theme.rule,
    gridwidth: 1,
    zeroline: true,
    zerolinecolor: theme.edge,
    zerolinewidth: 1.5,
    tickfont: { size: 12, color: theme.faint },
    ticks: '',
    // Or every label is measured, which costs more than drawing it; the margins have room for them.
    ticklabeloverflow: 'allow',
    automargin: false,
    tickangle: 0,
    nticks: isNarrow ? 6 : 10,
  };
}
