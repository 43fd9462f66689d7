import type { Data } from 'plotly.js-dist-min';
import type { Estimate } from '../../../analysis/index.js';
import type { ApiSlowPoints } from '../../server/api.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, endsWithoutWild, rangeOf, scaled } from './axes.js';
import { positionTitle } from './drag-position.js';
import { heading } from './picture-table.js';
import type { Figure } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** An upright line where something begins. */
export interface SlowMark {
  readonly name: string;
  readonly at_mm: Estimate;
}

export interface SlowLine {
  readonly position_mm: readonly number[];
  readonly force_N: readonly number[];
}

export interface SlowPicture {
  readonly points: ApiSlowPoints;
  readonly lines: readonly SlowLine[];
  readonly marks: readonly SlowMark[];
}

/** A line of a given slope through the middle of the points over a stretch. */
export function lineThrough(
  { position_mm, force_N }: ApiSlowPoints,
  slope_N_per_mm: number,
  [from_mm, to_mm]: readonly [number, number],
): SlowLine {
  const heights = position_mm.flatMap((x, i) =>
    x >= from_mm && x <= to_mm ? [force_N[i]! - slope_N_per_mm * x] : [],
  );
  const height = heights.reduce((sum, each) => sum + each, 0) / heights.length;
  const ends = [from_mm, to_mm];
  return { position_mm: ends, force_N: ends.map((x) => height + slope_N_per_mm * x) };
}

/** Force against position of slow strokes: measured points behind, lines in front, marks upright. */
export function slowStrokesFigure(
  { points, lines, marks }: SlowPicture,
  { theme, isNarrow, units }: Setting,
): Figure {
  const scales = scalesOf(units);
  const perMm = scales.length.factor * 1e-3;
  const perN = scales.force.factor;
  const margin = { l: isNarrow ? 44 : 60, r: 16, t: 28, b: 52 };
  const x_mm = rangeOf([...points.position_mm, ...marks.map(({ at_mm }) => at_mm.value)], 0.03);
  const x = scaled(x_mm, perMm);
  // A wild sample does not set the scale; a stop is steep, and is wanted whole.
  const y_N = rangeOf([0, ...endsWithoutWild(points.force_N, 0.002)]);
  const y = scaled(y_N, perN);
  return {
    data: [
      ...lines.map(
        (line): Data => ({
          type: 'scatter',
          mode: 'lines',
          x: line.position_mm.map((at) => at * perMm),
          y: line.force_N.map((force) => force * perN),
          line: { color: theme.ink, width: 2.25 },
          hoverinfo: 'skip',
        }),
      ),
      // An axis without a trace is not drawn.
      { type: 'scatter', mode: 'lines', x: [], y: [], hoverinfo: 'skip' },
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, positionTitle(scales, isNarrow), x, isNarrow),
      yaxis: axis(theme, `Force, ${scales.force.unit}`, y),
      shapes: marks.flatMap(({ at_mm }) => [
        {
          type: 'rect',
          x0: at_mm.low95 * perMm,
          x1: at_mm.high95 * perMm,
          y0: 0,
          y1: 1,
          yref: 'paper',
          line: { width: 0 },
          fillcolor: withOpacity(theme.ink, 0.14),
        },
        {
          type: 'line',
          x0: at_mm.value * perMm,
          x1: at_mm.value * perMm,
          y0: 0,
          y1: 1,
          yref: 'paper',
          line: { color: theme.ink, width: 1.5, dash: 'dash' },
        },
      ]),
      annotations: marks.map(({ name, at_mm }) => ({
        text: name,
        x: at_mm.value * perMm,
        y: 1,
        yref: 'paper',
        yanchor: 'bottom',
        xanchor: at_mm.value > (x_mm[0] + x_mm[1]) / 2 ? 'right' : 'left',
        showarrow: false,
        font: { size: 13, color: theme.ink },
      })),
    },
    points: {
      clouds: [{ colour: theme.ink, parts: [{ x: points.position_mm, y: points.force_N }] }],
      perUnit: { x: perMm, y: perN },
    },
    table: () => ({
      columns: [heading('position', scales.length), heading('force', scales.force)],
      rows: points.position_mm.map((at, i) => [at * perMm, points.force_N[i]! * perN]),
    }),
  };
}
