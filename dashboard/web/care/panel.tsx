import type { ComponentChildren } from 'preact';
import { formatDecimals } from '../../wording/index.js';
import type { Axis } from './axis.js';

/** Where a panel's picture lies within its drawing. */
export interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** A line through points of a picture. */
export const pathOf = (points: readonly (readonly [x: number, y: number])[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');

/** The frame of one panel: grid and numbers at both axes, titles, and what is drawn in it. */
export function Panel(props: {
  readonly frame: Frame;
  readonly x: Axis;
  readonly y: Axis;
  readonly xTitle?: string;
  readonly yTitle: string;
  /** Words for a place along x, in place of its number. */
  readonly xWord?: (value: number) => string;
  readonly children: ComponentChildren;
}) {
  const { frame, x, y, xTitle, yTitle } = props;
  const { left, right, top, bottom } = frame;
  const xWord = props.xWord ?? ((value: number) => formatDecimals(value, x.decimals));
  return (
    <g>
      {y.ticks.map((value) => (
        <g key={value}>
          <line
            class={value === 0 ? 'zero' : 'grid'}
            x1={left}
            x2={right}
            y1={y.at(value)}
            y2={y.at(value)}
          />
          <text class="tick" x={left - 6} y={y.at(value) + 4} text-anchor="end">
            {formatDecimals(value, y.decimals)}
          </text>
        </g>
      ))}
      {xTitle &&
        x.ticks.map((value) => (
          <text key={value} class="tick" x={x.at(value)} y={bottom + 16} text-anchor="middle">
            {xWord(value)}
          </text>
        ))}
      <text class="axis" x={left} y={top - 8}>
        {yTitle}
      </text>
      {xTitle && (
        <text class="axis" x={right} y={bottom + 34} text-anchor="end">
          {xTitle}
        </text>
      )}
      {props.children}
    </g>
  );
}
