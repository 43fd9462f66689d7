import type { Config, Data, Layout, PlotlyHTMLElement } from 'plotly.js-dist-min';
import type { LineLabel } from './line-labels.js';
import type { PictureTable } from './picture-table.js';
import type { Band, MarkedLine, PointsLayer } from './underlay.js';

export interface Figure {
  readonly data: Data[];
  readonly layout: Partial<Layout>;
  /** Measured points behind the lines, and bands between the two. */
  readonly points?: PointsLayer;
  readonly bands?: readonly Band[];
  /** Lines in front of all. */
  readonly lines?: readonly MarkedLine[];
  /** Names at the ends of lines. */
  readonly labels?: readonly LineLabel[];
  /** What is drawn as numbers, to be saved. */
  readonly table?: () => PictureTable;
}

/** Where the chart library has drawn a figure. */
export type PictureElement = PlotlyHTMLElement & {
  /** Follows when somebody zooms. */
  readonly layout: Figure['layout'];
  /** Follows while somebody still drags an axis, too. */
  readonly _fullLayout: Figure['layout'];
};

/** Size of a picture in CSS pixels. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

type Plotly = typeof import('plotly.js-dist-min');
let loading: Promise<Plotly> | null = null;

/** The chart library, fetched once and only when the first picture is wanted. */
export function loadPlotly(): Promise<Plotly> {
  loading ??= import('plotly.js-dist-min').then(
    (module) => (module as unknown as { default?: Plotly }).default ?? module,
    (fault) => {
      loading = null;
      throw fault;
    },
  );
  return loading;
}

/**
 * The library offers to upload charts and links to its maker; here nothing leaves the machine and the
 * page has its own buttons, so its tool bar is off and what could send is removed from it as well.
 */
export function chartConfig(isStatic: boolean): Partial<Config> {
  return {
    displayModeBar: false,
    displaylogo: false,
    modeBarButtonsToRemove: ['sendChartToCloud'],
    plotlyServerURL: '',
    showTips: false,
    staticPlot: isStatic,
    doubleClick: 'reset',
  };
}
