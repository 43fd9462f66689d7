import type { Range } from './axes.js';
import type { Figure, Size } from './plotly.js';

/** Where a figure's plot lies in its box, and how its horizontal axis maps to pixels. */
export interface PlotArea {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly height: number;
  toPixel(x: number): number;
  fromPixel(pixel: number): number;
}

/** @param x the horizontal axis as it is shown now, which zooming changes */
export function plotArea({ layout }: Figure, size: Size, x: Range): PlotArea {
  const { l = 0, r = 0, t = 0, b = 0 } = layout.margin ?? {};
  const [left, right] = [l, size.width - r];
  const perPixel = (x[1] - x[0]) / (right - left);
  return {
    left,
    right,
    top: t,
    height: size.height - t - b,
    toPixel: (value) => left + (value - x[0]) / perPixel,
    fromPixel: (pixel) => x[0] + (pixel - left) * perPixel,
  };
}
