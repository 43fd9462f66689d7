import { spreadApart } from '../../report/index.js';
import type { Range } from './axes.js';

export interface LineEnd {
  readonly text: string;
  readonly y: number;
  /** What a click on the name tells; left out where a click does nothing. */
  readonly name?: string;
  readonly colour?: string;
}

/** A name beside a plot, level with a place on its vertical axis. */
export interface LineLabel extends LineEnd {
  readonly colour: string;
}

const LINE_HEIGHT_PX = 18;

/**
 * Names lines at the right-hand edge, level with their end; names that would touch are moved apart, in the order of the lines.
 * @param ends where the lines end, in the units of the vertical axis
 * @param y the vertical axis
 * @param height_px of the plot area
 */
export function lineLabels(
  ends: readonly LineEnd[],
  y: Range,
  height_px: number,
  colour: string,
): LineLabel[] {
  const perPx = (y[1] - y[0]) / height_px;
  const placed = spreadApart(
    ends.map((end) => Math.min(y[1], Math.max(y[0], end.y)) / perPx),
    LINE_HEIGHT_PX,
    // Beyond the axis none is shown.
    [y[0] / perPx + 1, y[1] / perPx - 1],
  );
  return ends.map((end, index) => ({ colour, ...end, y: placed[index]! * perPx }));
}

/** The chart library reads a little markup in texts; names are only ever text. */
export function escapeMarkup(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
}
