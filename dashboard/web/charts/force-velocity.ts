import type { CurvePoint } from '../../../analysis/index.js';
import type { OverlayKind } from '../../answers/index.js';
import { overlayName } from '../../wording/index.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, endsWithoutWild, rangeOf, scaled } from './axes.js';
import { type LineEnd, lineLabels } from './line-labels.js';
import { heading, type PictureTable } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { type Scales, type Setting, scalesOf } from './setting.js';
import type { Band, MarkedLine } from './underlay.js';

/**
 * Force against velocity: for each build the measured points faint at the back, the band of its 95 %
 * interval, and its line in front. Compression is to the right. Names of hidden builds stay, faint.
 */
export function forceVelocityFigure(
  builds: readonly PicturedBuild[],
  kind: OverlayKind,
  { theme, isNarrow, units }: Setting,
  size: Size,
): Figure {
  const scales = scalesOf(units);
  const margin = { l: isNarrow ? 44 : 60, r: isNarrow ? 12 : 168, t: 8, b: 52 };
  const plot = { width: size.width - margin.l - margin.r, height: size.height - margin.t - margin.b };
  const shown = visible(builds);
  const clouds = shown.map(({ identity, remounts }) => ({
    colour: identity.colour,
    parts: remounts.map(({ behind }) => ({ x: behind.velocity_m_per_s, y: behind.force_N })),
  }));
  const curves = shown.flatMap(({ total }) => total);
  const x_m_per_s = rangeOf(
    curves.map((point) => point.velocity_m_per_s),
    0.03,
  );
  const y_N = rangeOf([
    0,
    ...curves.flatMap((point) => [point.low95_N, point.high95_N]),
    ...clouds.flatMap(({ parts }) => parts.flatMap((part) => endsWithoutWild(part.y, 0.005))),
  ]);
  const perUnit = { x: scales.velocity.factor, y: scales.force.factor };
  const x = scaled(x_m_per_s, perUnit.x);
  const y = scaled(y_N, perUnit.y);
  const quantity = isNarrow && kind === 'total' ? 'Drag + damping' : overlayName(kind);
  return {
    data: [],
    lines: shown.map((build) => line(build, scales)),
    bands: shown.map((build) => band(build, scales)),
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, velocityTitle(scales, isNarrow), x, isNarrow),
      yaxis: axis(theme, `${quantity}, ${scales.force.unit}`, y),
    },
    labels: isNarrow ? [] : lineLabels(buildLabels(builds, scales, theme.faint), y, plot.height, theme.ink),
    points: { clouds, perUnit },
    table: () => forceVelocityTable(shown, scales),
  };
}

export const velocityTitle = ({ velocity }: Scales, isNarrow: boolean): string =>
  `Velocity, ${velocity.unit}${isNarrow ? '' : ' (rebound left, compression right)'}`;

/** Names at the ends of lines, which a click hides and shows again. */
export function buildLabels(
  builds: readonly PicturedBuild[],
  scales: Scales,
  faint: string,
  curveOf: (build: PicturedBuild) => readonly CurvePoint[] = ({ total }) => total,
): LineEnd[] {
  return builds.flatMap((build) =>
    lineEnd({ name: build.name, total: curveOf(build) }, scales).map((end) => ({
      ...end,
      name: `build ${build.id}`,
      ...(build.isHidden && { text: `${end.text} (hidden)`, colour: faint }),
    })),
  );
}

/** Both sides of zero apart: drag changes sign there, and a line across would claim a slope. */
export function sides<Point extends Pick<CurvePoint, 'velocity_m_per_s'>>(
  total: readonly Point[],
): Point[][] {
  return [
    total.filter((point) => point.velocity_m_per_s < 0),
    total.filter((point) => point.velocity_m_per_s > 0),
  ].filter((side) => side.length > 0);
}

/** A build's curve as pictures of force against velocity draw it. */
export type PicturedCurve = Pick<PicturedBuild, 'name' | 'identity' | 'total'>;

/** Values of the pieces of a curve one after the other, with a gap between. */
export function withGaps<Point>(
  pieces: readonly (readonly Point[])[],
  of: (point: Point) => number,
): (number | null)[] {
  return pieces.flatMap((piece, i) => [...(i > 0 ? [null] : []), ...piece.map(of)]);
}

/** The outline of a band, a piece a direction. */
export function outlined<Point extends Pick<CurvePoint, 'velocity_m_per_s'>>(
  points: readonly Point[],
  { velocity, force }: Scales,
  high_N: (point: Point) => number,
  low_N: (point: Point) => number,
): { readonly x: (number | null)[]; readonly y: (number | null)[] } {
  const corners = sides(points).map((side) => [
    ...side.map((point) => [point.velocity_m_per_s, high_N(point)] as const),
    ...side.toReversed().map((point) => [point.velocity_m_per_s, low_N(point)] as const),
  ]);
  return {
    x: withGaps(corners, ([at]) => at * velocity.factor),
    y: withGaps(corners, ([, end]) => end * force.factor),
  };
}

/** The 95 % band of a curve. */
export const band = ({ identity, total }: PicturedCurve, scales: Scales): Band => ({
  ...outlined(
    total,
    scales,
    (point) => point.high95_N,
    (point) => point.low95_N,
  ),
  colour: withOpacity(identity.colour, 0.2),
});

/** The line of a curve, apart at zero. */
export function lineThroughPoints(
  points: readonly CurvePoint[],
  { velocity, force }: Scales,
): { readonly x: (number | null)[]; readonly y: (number | null)[] } {
  const pieces = sides(points);
  return {
    x: withGaps(pieces, (point) => point.velocity_m_per_s * velocity.factor),
    y: withGaps(pieces, (point) => point.force_N * force.factor),
  };
}

/** The line of a curve with its markers. */
export const line = ({ name, identity, total }: PicturedCurve, scales: Scales): MarkedLine => ({
  name,
  ...lineThroughPoints(total, scales),
  identity,
  width: 2.25,
  markers: { size: 8, most: 10 },
});

export function lineEnd(
  { name, total }: Pick<PicturedCurve, 'name' | 'total'>,
  { force }: Scales,
): LineEnd[] {
  const last = total.at(-1);
  return last ? [{ text: name, y: last.force_N * force.factor }] : [];
}

/** A point of a curve as tables of pictures give it: velocity, force, ends of its interval. */
export const numbersOf = (point: CurvePoint, { velocity, force }: Scales): number[] => [
  point.velocity_m_per_s * velocity.factor,
  ...[point.force_N, point.low95_N, point.high95_N].map((value) => value * force.factor),
];

function forceVelocityTable(builds: readonly PicturedBuild[], scales: Scales): PictureTable {
  const { velocity, force } = scales;
  const interval = (end: string) => heading(`force_${end}`, force);
  return {
    columns: [
      'build',
      'what',
      heading('velocity', velocity),
      heading('force', force),
      interval('low95'),
      interval('high95'),
    ],
    rows: builds.flatMap(({ name, total, remounts }) => [
      ...total.map((point) => [name, 'mean of the remounts', ...numbersOf(point, scales)]),
      ...remounts.flatMap(({ remount, behind }) =>
        behind.velocity_m_per_s.map((v, i) => [
          name,
          `remount ${remount} as measured`,
          v * velocity.factor,
          behind.force_N[i]! * force.factor,
          null,
          null,
        ]),
      ),
    ]),
  };
}
