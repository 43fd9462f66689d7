import type { Layout } from 'plotly.js-dist-min';
import { withOpacity } from '../identity/palette.js';
import type { Range } from './axes.js';
import type { Size } from './plotly.js';

/** Measured points of one build in the units of the axes. */
export interface PointCloud {
  readonly colour: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

const RADIUS_PX = 1.3;
const OPACITY = 0.22;

/**
 * Draws measured points into one raster picture that lies behind the lines, in place of thousands of SVG marks.
 * It belongs to the figure, so it is exported with it.
 * @param size of the plot area in CSS pixels; drawn at the screen's own resolution
 */
export function pointsLayer(
  clouds: readonly PointCloud[],
  x: Range,
  y: Range,
  size: Size,
): NonNullable<Layout['images']> {
  const canvas = document.createElement('canvas');
  const scale = Math.max(2, devicePixelRatio);
  canvas.width = Math.max(1, Math.round(size.width * scale));
  canvas.height = Math.max(1, Math.round(size.height * scale));
  const context = canvas.getContext('2d')!;
  const perX = canvas.width / (x[1] - x[0]);
  const perY = canvas.height / (y[1] - y[0]);
  for (const cloud of clouds) {
    context.fillStyle = withOpacity(cloud.colour, OPACITY);
    for (let i = 0; i < cloud.x.length; i++) {
      context.beginPath();
      context.arc(
        (cloud.x[i]! - x[0]) * perX,
        (y[1] - cloud.y[i]!) * perY,
        RADIUS_PX * scale,
        0,
        2 * Math.PI,
      );
      context.fill();
    }
  }
  return [
    {
      source: canvas.toDataURL('image/png'),
      xref: 'x',
      yref: 'y',
      x: x[0],
      y: y[1],
      sizex: x[1] - x[0],
      sizey: y[1] - y[0],
      sizing: 'stretch',
      layer: 'below',
    },
  ];
}
