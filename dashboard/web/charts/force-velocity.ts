import type { Data } from 'plotly.js-dist-min';
import type { CurvePoint } from '../../../analysis/index.js';
import type { OverlayKind } from '../../answers/index.js';
import { overlayName } from '../../wording/index.js';
import { withOpacity } from '../identity/palette.js';
import { axis, baseLayout, rangeOf, shareBelow } from './axes.js';
import { type LineEnd, lineLabels } from './line-labels.js';
import { heading, type PictureTable } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { pointsLayer } from './points-layer.js';
import { type Scales, type Setting, scalesOf } from './setting.js';

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
    x: remounts.flatMap(({ behind }) => behind.velocity_m_per_s.map((v) => v * scales.velocity.factor)),
    y: remounts.flatMap(({ behind }) => behind.force_N.map((force) => force * scales.force.factor)),
  }));
  const curves = shown.flatMap(({ total }) => total);
  const x = rangeOf(
    curves.map((point) => point.velocity_m_per_s * scales.velocity.factor),
    0.03,
  );
  const y = rangeOf([
    0,
    ...curves.flatMap((point) => [point.low95_N, point.high95_N].map((force) => force * scales.force.factor)),
    ...clouds.flatMap((cloud) => [shareBelow(cloud.y, 0.005), shareBelow(cloud.y, 0.995)]),
  ]);
  const quantity = isNarrow && kind === 'total' ? 'Drag + damping' : overlayName(kind);
  return {
    data: [
      ...shown.flatMap((build) => bands(build, scales)),
      ...shown.flatMap((build) => lines(build, scales)),
    ],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, velocityTitle(scales, isNarrow), x, isNarrow),
      yaxis: axis(theme, `${quantity}, ${scales.force.unit}`, y),
      images: pointsLayer(clouds, x, y, plot),
      annotations: isNarrow
        ? []
        : lineLabels(buildLabels(builds, scales, theme.faint), y, plot.height, theme.ink),
    },
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

/** The 95 % band of a curve, a piece a direction. */
export function bands({ identity, total }: PicturedCurve, { velocity, force }: Scales): Data[] {
  return sides(total).map((side) => ({
    type: 'scatter',
    mode: 'lines',
    x: [...side, ...side.toReversed()].map((point) => point.velocity_m_per_s * velocity.factor),
    y: [...side.map((point) => point.high95_N), ...side.toReversed().map((point) => point.low95_N)].map(
      (end) => end * force.factor,
    ),
    fill: 'toself',
    fillcolor: withOpacity(identity.colour, 0.2),
    line: { width: 0 },
    hoverinfo: 'skip',
  }));
}

/** The line of a curve with its markers, a piece a direction. */
export function lines({ name, identity, total }: PicturedCurve, { velocity, force }: Scales): Data[] {
  return sides(total).map((side) => ({
    type: 'scatter',
    mode: 'lines+markers',
    name,
    x: side.map((point) => point.velocity_m_per_s * velocity.factor),
    y: side.map((point) => point.force_N * force.factor),
    line: { color: identity.colour, width: 2.25, dash: identity.dash },
    marker: { color: identity.colour, size: 8, symbol: identity.marker, maxdisplayed: 5 },
    hoverinfo: 'skip',
  }));
}

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
