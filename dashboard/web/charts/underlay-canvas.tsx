import { useLayoutEffect, useRef } from 'preact/hooks';
import type { Axes } from './axes.js';
import type { PlotArea } from './plot-area.js';
import { showBitmap } from './underlay-picture.js';

/** What lies beneath the lines, as it was drawn for some axes. */
export interface DrawnUnderlay {
  readonly bitmap: ImageBitmap;
  readonly axes: Axes;
}

/**
 * Points and bands on a canvas beneath the lines, which changes without anything else being painted again.
 * @param area as it is shown now; until the canvas is drawn for it, what is there is stretched
 */
export function UnderlayCanvas({ area, drawn }: { readonly area: PlotArea; readonly drawn: DrawnUnderlay }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => showBitmap(canvas.current!, drawn.bitmap), [drawn]);
  const { left, top, height } = area;
  const width = area.right - left;
  const { x, y } = drawn.axes;
  const [from, to] = [area.toPixel(x[0]), area.toPixel(x[1])];
  const [upper, lower] = [area.downTo(y[1]), area.downTo(y[0])];
  const across = `translate(${from - left}px, ${upper - top}px)`;
  const stretched = `scale(${(to - from) / width}, ${(lower - upper) / height})`;
  return (
    <div
      class="underlay"
      style={{ left: `${left}px`, top: `${top}px`, width: `${width}px`, height: `${height}px` }}
    >
      <canvas ref={canvas} style={{ transform: `${across} ${stretched}` }} />
    </div>
  );
}
