import type { Layout } from 'plotly.js-dist-min';
import { channels } from '../identity/palette.js';
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
 * @param clouds points beyond the axes are passed over
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
  const pixels = context.createImageData(canvas.width, canvas.height);
  const disc = discOf(RADIUS_PX * scale);
  for (const { colour, x: xs, y: ys } of clouds) {
    const ink = channels(colour);
    for (let i = 0; i < xs.length; i++)
      stamp(pixels, disc, ink, Math.round((xs[i]! - x[0]) * perX), Math.round((y[1] - ys[i]!) * perY));
  }
  context.putImageData(pixels, 0, 0);
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

/** Places of a disc's pixels about its middle, x and y in turn. */
function discOf(radius: number): Int32Array {
  const reach = Math.ceil(radius);
  const places: number[] = [];
  for (let dy = -reach; dy <= reach; dy++)
    for (let dx = -reach; dx <= reach; dx++) if (Math.hypot(dx, dy) <= radius) places.push(dx, dy);
  return Int32Array.from(places);
}

/**
 * Lays one faint dot over what is there. Done by hand, because a path or a stamp of the canvas for each of sixty thousand
 * points takes a second.
 */
function stamp(
  { data, width, height }: ImageData,
  disc: Int32Array,
  ink: readonly number[],
  x: number,
  y: number,
): void {
  for (let k = 0; k < disc.length; k += 2) {
    const px = x + disc[k]!;
    const py = y + disc[k + 1]!;
    if (px < 0 || py < 0 || px >= width || py >= height) continue;
    const at = 4 * (py * width + px);
    // Porter and Duff (1984), "over", for colours that are not multiplied by their opacity.
    const below = (data[at + 3]! / 255) * (1 - OPACITY);
    const opacity = OPACITY + below;
    for (let c = 0; c < 3; c++) data[at + c] = (ink[c]! * OPACITY + data[at + c]! * below) / opacity;
    data[at + 3] = 255 * opacity;
  }
}
