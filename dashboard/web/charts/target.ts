import type { Data } from 'plotly.js-dist-min';
import type { CurvePoint } from '../../../analysis/index.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, legendBelow, rangeOf, scaled } from './axes.js';
import {
  band,
  line,
  lineEnd,
  lineThroughPoints,
  outlined,
  type PicturedCurve,
  velocityTitle,
} from './force-velocity.js';
import { escapeMarkup, lineLabels } from './line-labels.js';
import type { Figure, Size } from './plotly.js';
import { type Scales, type Setting, scalesOf } from './setting.js';
import { bandTrace, markedTrace } from './whole-figure.js';

/** A curve to reach, with what is allowed either way. */
export interface PicturedTarget {
  readonly name: string;
  readonly colour: string;
  readonly points: readonly TargetPoint[];
}

export interface TargetPoint {
  readonly velocity_m_per_s: number;
  readonly force_N: number;
  readonly allowed_N: number;
}

/** A curve that nobody has measured. */
export interface PredictedCurve {
  readonly name: string;
  readonly colour: string;
  readonly total: readonly CurvePoint[];
}

export interface TargetPicture {
  readonly target: PicturedTarget;
  readonly builds: readonly PicturedCurve[];
  readonly predicted: readonly PredictedCurve[];
}

/**
 * Force against velocity with a target: its tolerance as a hatched band at the back, the bands and lines of what was
 * measured over it, and what is predicted thinner and broken.
 */
export function targetFigure(
  { target, builds, predicted }: TargetPicture,
  quantity: string,
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const scales = scalesOf(units);
  const { velocity, force } = scales;
  const margin = {
    l: isNarrow ? 44 : 60,
    r: isNarrow ? 12 : 184,
    t: 8,
    b: isNarrow ? 52 + 24 * (predicted.length + 2) : 52,
  };
  const curves = [...builds, ...predicted].flatMap(({ total }) => total);
  const x = rangeOf(
    [...target.points, ...curves].map((point) => point.velocity_m_per_s * velocity.factor),
    0.03,
  );
  const y = scaled(
    rangeOf([
      0,
      ...target.points.flatMap(({ force_N, allowed_N }) => [force_N - allowed_N, force_N + allowed_N]),
      ...builds.flatMap(({ total }) => total).flatMap((point) => [point.low95_N, point.high95_N]),
      ...predicted.flatMap(({ total }) => total).map((point) => point.force_N),
    ]),
    force.factor,
  );
  const ends = [
    ...builds.flatMap((build) => lineEnd(build, scales)),
    ...predicted.flatMap((curve) => lineEnd(curve, scales)),
    ...(target.points.length > 0
      ? [{ text: target.name, y: target.points.at(-1)!.force_N * force.factor }]
      : []),
  ];
  return {
    data: [
      ...(target.points.length > 0 ? [hatched(target, scales)] : []),
      ...builds.map((build) => bandTrace(band(build, scales))),
      ...predicted.map((curve, index) => predictedLine(curve, index, scales)),
      ...builds.map((build) => markedTrace(line(build, scales))),
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, velocityTitle(scales, isNarrow), x, isNarrow),
      ...legendBelow(isNarrow, 'v'),
      yaxis: axis(theme, `${quantity}, ${force.unit}`, y),
    },
    labels: isNarrow ? [] : lineLabels(ends, y, size.height - margin.t - margin.b, theme.ink),
  };
}

/** The band is hatched, so that it is told from an interval without its colour. */
const hatched = ({ name, colour, points }: PicturedTarget, scales: Scales): Data =>
  ({
    type: 'scatter',
    mode: 'lines',
    name: escapeMarkup(name),
    ...outlined(
      points,
      scales,
      ({ force_N, allowed_N }) => force_N + allowed_N,
      ({ force_N, allowed_N }) => force_N - allowed_N,
    ),
    fill: 'toself',
    fillpattern: {
      shape: '/',
      size: 6,
      solidity: 0.25,
      fgcolor: colour,
      bgcolor: withOpacity(colour, 0.06),
    },
    line: { width: 1, color: colour },
    hoverinfo: 'skip',
  }) as Data;

/** Several predictions lie near each other: each has its own dash, none that of a measured line's width. */
const predictedDashes = ['dot', 'dash', 'dashdot', 'longdash'] as const;

const predictedLine = ({ name, colour, total }: PredictedCurve, index: number, scales: Scales): Data => ({
  type: 'scatter',
  mode: 'lines',
  name: escapeMarkup(name),
  ...lineThroughPoints(total, scales),
  line: { color: colour, width: 1.5, dash: predictedDashes[index % predictedDashes.length]! },
  hoverinfo: 'skip',
});
