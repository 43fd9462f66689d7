import type { Data, Layout } from 'plotly.js-dist-min';
import { type Axes, axesOf } from './axes.js';
import { escapeMarkup, type LineLabel } from './line-labels.js';
import type { Figure, Size } from './plotly.js';
import type { Band, MarkedLine } from './underlay.js';
import { drawUnderlay, showBitmap } from './underlay-picture.js';

/**
 * A figure with everything in it, for a file: the page draws its points, bands, markers and labels beneath and beside
 * what the chart library draws.
 * @param shown its layout as it is shown now, which zooming changes
 */
export async function wholeFigure(
  figure: Figure,
  shown: Figure['layout'],
  size: Size,
): Promise<Pick<Figure, 'data' | 'layout'>> {
  const { data, layout, bands = [], lines = [], labels = [], points } = figure;
  return {
    data: [...bands.map(bandTrace), ...data, ...lines.map(markedTrace)],
    layout: {
      ...shown,
      paper_bgcolor: layout.paper_bgcolor!,
      annotations: [...(layout.annotations ?? []), ...labels.map(annotationOf)],
      images: points ? [await pointsImage({ layout, points }, size, axesOf(shown))] : [],
    },
  };
}

export const bandTrace = ({ x, y, colour }: Band): Data => ({
  type: 'scatter',
  mode: 'lines',
  x: [...x],
  y: [...y],
  fill: 'toself',
  fillcolor: colour,
  line: { width: 0 },
  showlegend: false,
  hoverinfo: 'skip',
});

export const lineTrace = ({ name, x, y, identity: { colour, dash }, width }: MarkedLine): Data => ({
  type: 'scatter',
  mode: 'lines',
  name: escapeMarkup(name),
  x: [...x],
  y: [...y],
  line: { color: colour, width, dash },
  hoverinfo: 'skip',
});

export const markedTrace = (line: MarkedLine): Data =>
  ({
    ...lineTrace(line),
    mode: 'lines+markers',
    marker: {
      color: line.identity.colour,
      size: line.markers.size,
      symbol: line.identity.marker,
      maxdisplayed: line.markers.most,
    },
  }) as Data;

const annotationOf = ({ text, y, colour }: LineLabel): NonNullable<Layout['annotations']>[number] => ({
  text: escapeMarkup(text),
  x: 1,
  y,
  xref: 'paper',
  yref: 'y',
  xanchor: 'left',
  yanchor: 'middle',
  xshift: 8,
  showarrow: false,
  align: 'left',
  font: { size: 13, color: colour },
});

async function pointsImage(
  figure: Pick<Figure, 'layout' | 'points'>,
  size: Size,
  axes: Axes,
): Promise<NonNullable<Layout['images']>[number]> {
  const canvas = document.createElement('canvas');
  showBitmap(canvas, (await drawUnderlay(figure, size, axes))!);
  const { x, y } = axes;
  return {
    source: canvas.toDataURL('image/png'),
    xref: 'x',
    yref: 'y',
    x: x[0],
    y: y[1],
    sizex: x[1] - x[0],
    sizey: y[1] - y[0],
    sizing: 'stretch',
    layer: 'below',
  };
}
