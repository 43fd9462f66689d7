import type { Axes } from './axes.js';
import type { Figure, Size } from './plotly.js';

/** Where a figure's plot lies in its box, and how its axes map to pixels. */
export interface PlotArea {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly height: number;
  toPixel(x: number): number;
  fromPixel(pixel: number): number;
  /** From the top of the box. */
  downTo(y: number): number;
}

/** @param axes as they are shown now, which zooming changes */
export function plotArea({ layout }: Figure, size: Size, { x, y }: Axes): PlotArea {
  const { l = 0, t = 0 } = layout.margin ?? {};
  const { width, height } = plotSize(layout, size);
  const perPixel = (x[1] - x[0]) / width;
  return {
    left: l,
    right: l + width,
    top: t,
    height,
    toPixel: (value) => l + (value - x[0]) / perPixel,
    fromPixel: (pixel) => x[0] + (pixel - l) * perPixel,
    downTo: (value) => t + (height * (y[1] - value)) / (y[1] - y[0]),
  };
}

/** Of the plot itself, without the room around it. */
export function plotSize(layout: Figure['layout'], { width, height }: Size): Size {
  const { l = 0, r = 0, t = 0, b = 0 } = layout.margin ?? {};
  return { width: width - l - r, height: height - t - b };
}
