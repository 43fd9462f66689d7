import type { Theme } from '../theme.js';

/** A canvas made ready for a frame, in CSS pixels. */
export interface Frame {
  readonly context: CanvasRenderingContext2D;
  readonly width: number;
  readonly height: number;
}

/** Fits a canvas to its place on the page and to the screen's pixels, and empties it. */
export function beginFrame(canvas: HTMLCanvasElement): Frame {
  const ratio = devicePixelRatio;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(height * ratio)) canvas.height = Math.round(height * ratio);
  const context = canvas.getContext('2d')!;
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.clearRect(0, 0, width, height);
  return { context, width, height };
}

/** A range that grows with what it holds at once and shrinks only when it is far too large, so that it stays calm. */
export function calmRange(): (low: number, high: number) => readonly [number, number] {
  let range: readonly [number, number] | null = null;
  return (low, high) => {
    const pad = 0.1 * (high - low || 1);
    const fits =
      range && range[0] <= low && range[1] >= high && range[1] - range[0] < 3 * (high - low + 2 * pad);
    if (!fits) range = [low - pad, high + pad];
    return range!;
  };
}

/** A line of the grid; the one at zero is stronger. */
export function gridLine(
  { context }: Frame,
  from: readonly [number, number],
  to: readonly [number, number],
  isZero: boolean,
  colours: Theme,
): void {
  context.strokeStyle = isZero ? colours.edge : colours.rule;
  context.lineWidth = isZero ? 1.5 : 1;
  context.beginPath();
  context.moveTo(Math.round(from[0]) + 0.5, Math.round(from[1]) + 0.5);
  context.lineTo(Math.round(to[0]) + 0.5, Math.round(to[1]) + 0.5);
  context.stroke();
}
