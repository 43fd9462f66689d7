import type { Range } from './axes.js';

/** Measured points of one build. */
export interface PointCloud {
  readonly colour: string;
  /** One a recording. */
  readonly parts: readonly PointsPart[];
}

export interface PointsPart {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** Measured points that lie behind the lines of a figure. */
export interface PointsLayer {
  /** Points beyond the axes are passed over. */
  readonly clouds: readonly PointCloud[];
  /** What the axes of the figure show for one unit of the points. */
  readonly perUnit: { readonly x: number; readonly y: number };
  /** Of the plot area in CSS pixels; drawn at the screen's own resolution. */
  readonly size: { readonly width: number; readonly height: number };
}

/** What the worker is asked. */
export interface PointsQuestion {
  readonly id: number;
  readonly clouds: readonly {
    readonly colour: string;
    readonly parts: readonly { readonly x: Float32Array; readonly y: Float32Array }[];
  }[];
  /** The axes, in the units of the points. */
  readonly x: Range;
  readonly y: Range;
  /** In pixels of the raster picture. */
  readonly width: number;
  readonly height: number;
  /** Pixels of the raster picture per CSS pixel. */
  readonly scale: number;
}

export type PointsAnswer = { readonly id: number } & (
  | { readonly bitmap: ImageBitmap }
  | { readonly fault: string }
);
