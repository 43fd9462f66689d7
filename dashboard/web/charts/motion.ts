import type { Data } from 'plotly.js-dist-min';
import { axis, baseLayout, legendBelow, rangeOf } from './axes.js';
import { lineLabels } from './line-labels.js';
import type { Figure, Size } from './plotly.js';
import type { Setting } from './setting.js';

export interface MotionLine {
  readonly name: string;
  readonly colour: string;
  readonly dash: 'solid' | 'dash' | 'dot';
  readonly time_s: readonly number[];
  readonly at_mm: readonly number[];
}

export interface MotionPicture {
  readonly lines: readonly MotionLine[];
  /** Titles of the axes. */
  readonly quantity: string;
  readonly time: string;
  /** Where the stop is; null where there is none in the picture. */
  readonly stop_mm: number | null;
}

/** Share of a motion's size that no longer counts as moving. */
const still = 0.02;

/** Motions against time, as long as one of them moves; a cross where one of them meets the stop. */
export function motionFigure(
  { lines, quantity, time, stop_mm }: MotionPicture,
  { theme, isNarrow }: Setting,
  size: Size,
): Figure {
  const margin = { l: isNarrow ? 44 : 60, r: isNarrow ? 12 : 152, t: 8, b: isNarrow ? 100 : 52 };
  const until_s = Math.max(...lines.map(stillAfter_s)) * 1.15;
  const x = [0, until_s] as const;
  const shown = lines.flatMap(({ time_s, at_mm }) => at_mm.filter((_, i) => time_s[i]! <= until_s));
  const y = rangeOf([0, ...shown, ...(stop_mm === null ? [] : [stop_mm])]);
  const ends = [
    ...lines.map(({ name, time_s, at_mm }) => ({
      text: name,
      y: at_mm[time_s.findLastIndex((at) => at <= until_s)]!,
    })),
    ...(stop_mm === null ? [] : [{ text: 'the stop', y: stop_mm }]),
  ];
  return {
    data: [
      ...lines.map(
        ({ name, colour, dash, time_s, at_mm }): Data => ({
          type: 'scatter',
          mode: 'lines',
          name,
          x: [...time_s],
          y: [...at_mm],
          line: { color: colour, width: dash === 'solid' ? 2.25 : 1.75, dash },
          hoverinfo: 'skip',
        }),
      ),
      ...(stop_mm === null ? [] : [stopLine(stop_mm, until_s, theme.ink), ...crosses(lines, stop_mm)]),
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, time, x, isNarrow),
      yaxis: axis(theme, quantity, y),
      ...legendBelow(isNarrow, 'h'),
      annotations: isNarrow ? [] : lineLabels(ends, y, size.height - margin.t - margin.b, theme.ink),
    },
    table: () => ({
      columns: ['spring', 'time_s', 'position_mm'],
      rows: lines.flatMap(({ name, time_s, at_mm }) => time_s.map((at, i) => [name, at, at_mm[i]!])),
    }),
  };
}

/** When a motion has come to what it ends at. */
function stillAfter_s({ time_s, at_mm }: MotionLine): number {
  const end = at_mm.at(-1)!;
  const size = Math.max(...at_mm) - Math.min(...at_mm);
  const last = at_mm.findLastIndex((at) => Math.abs(at - end) > still * size);
  return time_s[Math.min(time_s.length - 1, last + 1)]!;
}

const stopLine = (stop_mm: number, until_s: number, colour: string): Data => ({
  type: 'scatter',
  mode: 'lines',
  name: 'the stop',
  x: [0, until_s],
  y: [stop_mm, stop_mm],
  line: { color: colour, width: 1.25, dash: 'dot' },
  hoverinfo: 'skip',
});

const crosses = (lines: readonly MotionLine[], stop_mm: number): Data[] =>
  lines
    .filter(({ at_mm }) => at_mm.at(-1)! >= 0.999 * stop_mm)
    .map(({ colour, time_s, at_mm }) => ({
      type: 'scatter',
      mode: 'markers',
      showlegend: false,
      x: [time_s.at(-1)!],
      y: [at_mm.at(-1)!],
      marker: { color: colour, size: 10, symbol: 'x' },
      hoverinfo: 'skip',
    }));
