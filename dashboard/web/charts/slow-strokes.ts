import type { Data } from 'plotly.js-dist-min';
import type { Estimate } from '../../../analysis/index.js';
import type { ApiSlowPoints } from '../../server/api.js';
import { metric } from '../../wording/index.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, endsWithoutWild, rangeOf } from './axes.js';
import { positionTitle } from './drag-position.js';
import type { Figure, Size } from './plotly.js';
import { type Setting, scalesOf } from './setting.js';

/** Springs and stops are asked about in these units. */
const scales = scalesOf(metric);

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

/** Force against position of slow strokes: measured points behind, lines in front, marks upright. In the units typed. */
export function slowStrokesFigure(
  { points, lines, marks }: SlowPicture,
  { theme, isNarrow }: Setting,
  size: Size,
): Figure {
  const margin = { l: isNarrow ? 44 : 60, r: 16, t: 28, b: 52 };
  const x = rangeOf([...points.position_mm, ...marks.map(({ at_mm }) => at_mm.value)], 0.03);
  // A wild sample does not set the scale; a stop is steep, and is wanted whole.
  const y = rangeOf([0, ...endsWithoutWild(points.force_N, 0.002)]);
  const plot = { width: size.width - margin.l - margin.r, height: size.height - margin.t - margin.b };
  return {
    data: [
      ...lines.map(
        (line): Data => ({
          type: 'scatter',
          mode: 'lines',
          x: [...line.position_mm],
          y: [...line.force_N],
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
          x0: at_mm.low95,
          x1: at_mm.high95,
          y0: 0,
          y1: 1,
          yref: 'paper',
          line: { width: 0 },
          fillcolor: withOpacity(theme.ink, 0.14),
        },
        {
          type: 'line',
          x0: at_mm.value,
          x1: at_mm.value,
          y0: 0,
          y1: 1,
          yref: 'paper',
          line: { color: theme.ink, width: 1.5, dash: 'dash' },
        },
      ]),
      annotations: marks.map(({ name, at_mm }) => ({
        text: name,
        x: at_mm.value,
        y: 1,
        yref: 'paper',
        yanchor: 'bottom',
        xanchor: at_mm.value > (x[0] + x[1]) / 2 ? 'right' : 'left',
        showarrow: false,
        font: { size: 13, color: theme.ink },
      })),
    },
    points: {
      clouds: [{ colour: theme.ink, parts: [{ x: points.position_mm, y: points.force_N }] }],
      x,
      y,
      perUnit: { x: 1, y: 1 },
      size: plot,
    },
    table: () => ({
      columns: ['position_mm', 'force_N'],
      rows: points.position_mm.map((at, i) => [at, points.force_N[i]!]),
    }),
  };
}
