import type { Data } from 'plotly.js-dist-min';
import { axis, baseLayout, legendBelow, rangeOf } from './axes.js';
import { lineLabels } from './line-labels.js';
import { heading } from './picture-table.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

export interface MotionLine {
  readonly name: string;
  readonly colour: string;
  readonly dash: 'solid' | 'dash' | 'dot';
  readonly time_s: readonly number[];
  readonly at_mm: readonly number[];
}

export interface MotionPicture {
  readonly lines: readonly MotionLine[];
  /** What the axes show; the first is a length. */
  readonly quantity: string;
  readonly time: string;
  /** Where the stop is; null where there is none in the picture. */
  readonly stop_mm: number | null;
}

/** In the length shown. */
type ShownLine = Omit<MotionLine, 'at_mm'> & { readonly at: readonly number[] };

/** Share of a motion's size that no longer counts as moving. */
const still = 0.02;

/** Motions against time, as long as one of them moves; a cross where one of them meets the stop. */
export function motionFigure(
  { lines: measured, quantity, time, stop_mm }: MotionPicture,
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const { length } = scalesOf(units);
  const perMm = length.factor * 1e-3;
  const lines = measured.map(({ at_mm, ...line }) => ({ ...line, at: at_mm.map((mm) => mm * perMm) }));
  const stop = stop_mm === null ? null : stop_mm * perMm;
  const margin = { l: isNarrow ? 44 : 60, r: isNarrow ? 12 : 152, t: 8, b: isNarrow ? 100 : 52 };
  const until_s = Math.max(...lines.map(stillAfter_s)) * 1.15;
  const x = [0, until_s] as const;
  const shown = lines.flatMap(({ time_s, at }) => at.filter((_, i) => time_s[i]! <= until_s));
  const y = rangeOf([0, ...shown, ...(stop === null ? [] : [stop])]);
  const ends = [
    ...lines.map(({ name, time_s, at }) => ({
      text: name,
      y: at[time_s.findLastIndex((time) => time <= until_s)]!,
    })),
    ...(stop === null ? [] : [{ text: 'the stop', y: stop }]),
  ];
  return {
    data: [
      ...lines.map(
        ({ name, colour, dash, time_s, at }): Data => ({
          type: 'scatter',
          mode: 'lines',
          name,
          x: [...time_s],
          y: [...at],
          line: { color: colour, width: dash === 'solid' ? 2.25 : 1.75, dash },
          hoverinfo: 'skip',
        }),
      ),
      ...(stop === null ? [] : [stopLine(stop, until_s, theme.ink), ...crosses(lines, stop)]),
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, time, x, isNarrow),
      yaxis: axis(theme, `${quantity}, ${length.unit}`, y),
      ...legendBelow(isNarrow, 'h'),
    },
    labels: isNarrow ? [] : lineLabels(ends, y, size.height - margin.t - margin.b, theme.ink),
    table: () => ({
      columns: ['spring', 'time_s', heading('position', length)],
      rows: lines.flatMap(({ name, time_s, at }) => time_s.map((time, i) => [name, time, at[i]!])),
    }),
  };
}

/** When a motion has come to what it ends at. */
function stillAfter_s({ time_s, at }: ShownLine): number {
  const end = at.at(-1)!;
  const size = Math.max(...at) - Math.min(...at);
  const last = at.findLastIndex((place) => Math.abs(place - end) > still * size);
  return time_s[Math.min(time_s.length - 1, last + 1)]!;
}

const stopLine = (stop: number, until_s: number, colour: string): Data => ({
  type: 'scatter',
  mode: 'lines',
  name: 'the stop',
  x: [0, until_s],
  y: [stop, stop],
  line: { color: colour, width: 1.25, dash: 'dot' },
  hoverinfo: 'skip',
});

const crosses = (lines: readonly ShownLine[], stop: number): Data[] =>
  lines
    .filter(({ at }) => at.at(-1)! >= 0.999 * stop)
    .map(({ colour, time_s, at }) => ({
      type: 'scatter',
      mode: 'markers',
      showlegend: false,
      x: [time_s.at(-1)!],
      y: [at.at(-1)!],
      marker: { color: colour, size: 10, symbol: 'x' },
      hoverinfo: 'skip',
    }));
