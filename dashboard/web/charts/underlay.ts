import type { Identity } from '../identity/identity.js';
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

/** Measured points that lie behind the lines of a figure; those beyond its axes are passed over. */
export interface PointsLayer {
  readonly clouds: readonly PointCloud[];
  /** What the axes of the figure show for one unit of the points. */
  readonly perUnit: { readonly x: number; readonly y: number };
}

/** An area behind the lines of a figure, in the units of its axes. */
export interface Band {
  /** Corners of its outline, piece by piece with null between. */
  readonly x: readonly (number | null)[];
  readonly y: readonly (number | null)[];
  readonly colour: string;
}

/** A line of a build, in the units of the axes, with its marker here and there beneath it. */
export interface MarkedLine {
  readonly name: string;
  /** Piece by piece with null between. */
  readonly x: readonly (number | null)[];
  readonly y: readonly (number | null)[];
  readonly identity: Identity;
  readonly width: number;
  readonly markers: Markers;
}

export interface Markers {
  /** In pixels. */
  readonly size: number;
  /** On a line at once. */
  readonly most: number;
}

/** What the worker is asked. */
export interface UnderlayQuestion {
  readonly id: number;
  readonly clouds: readonly {
    readonly colour: string;
    readonly parts: readonly { readonly x: Float32Array; readonly y: Float32Array }[];
  }[];
  readonly perUnit: { readonly x: number; readonly y: number };
  readonly bands: readonly Band[];
  readonly lines: readonly Pick<MarkedLine, 'x' | 'y' | 'identity' | 'markers'>[];
  /** The axes of the figure. */
  readonly x: Range;
  readonly y: Range;
  /** In pixels of the raster picture. */
  readonly width: number;
  readonly height: number;
  /** Pixels of the raster picture per CSS pixel. */
  readonly scale: number;
}

export type UnderlayAnswer = { readonly id: number } & (
  | { readonly bitmap: ImageBitmap }
  | { readonly fault: string }
);
