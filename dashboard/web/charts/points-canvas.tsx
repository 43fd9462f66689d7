import { useLayoutEffect, useRef } from 'preact/hooks';
import type { Axes } from './axes.js';
import type { PlotArea } from './plot-area.js';
import { showBitmap } from './points-layer.js';

/** Measured points as they were drawn for some axes. */
export interface DrawnPoints {
  readonly bitmap: ImageBitmap;
  readonly axes: Axes;
}

/**
 * Measured points on a canvas beneath the lines, which the page lays out and paints nothing else for.
 * @param axes as they are shown now; until the points are drawn for them, those that are there are stretched
 */
export function PointsCanvas(props: {
  readonly area: PlotArea;
  readonly points: DrawnPoints;
  readonly axes: Axes;
}) {
  const { area, points, axes } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => showBitmap(canvas.current!, points.bitmap), [points]);
  const { left, right, top, height } = area;
  const width = right - left;
  const across = (points.axes.x[1] - points.axes.x[0]) / (axes.x[1] - axes.x[0]);
  const up = (points.axes.y[1] - points.axes.y[0]) / (axes.y[1] - axes.y[0]);
  const x = (width * (points.axes.x[0] - axes.x[0])) / (axes.x[1] - axes.x[0]);
  const y = (height * (axes.y[1] - points.axes.y[1])) / (axes.y[1] - axes.y[0]);
  return (
    <div
      class="points"
      style={{ left: `${left}px`, top: `${top}px`, width: `${width}px`, height: `${height}px` }}
    >
      <canvas ref={canvas} style={{ transform: `translate(${x}px, ${y}px) scale(${across}, ${up})` }} />
    </div>
  );
}
