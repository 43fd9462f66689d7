import type { PlotArea } from './plot-area.js';

/**
 * A thin vertical line over a plot: where the curves are being read.
 * It lies over the picture, so moving it redraws nothing.
 */
export function ReadingLine({ area, at }: { readonly area: PlotArea; readonly at: number }) {
  const pixel = area.toPixel(at);
  if (pixel < area.left || pixel > area.right) return null;
  return (
    <div
      class="reading-line"
      style={{ left: `${pixel}px`, top: `${area.top}px`, height: `${area.height}px` }}
    />
  );
}
