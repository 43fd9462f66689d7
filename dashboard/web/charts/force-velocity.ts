import type { Data } from 'plotly.js-dist-min';
import type { CurvePoint } from '../../../analysis/index.js';
import { withOpacity } from '../identity/palette.js';
import type { Theme } from '../theme.js';
import { axis, baseLayout, rangeOf, shareBelow } from './axes.js';
import { type LineEnd, lineLabels } from './line-labels.js';
import type { PicturedBuild } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { pointsLayer } from './points-layer.js';

const mm = 1000;

/**
 * Force against velocity: for each build the measured points faint at the back, the band of its 95 %
 * interval, and its line of drag plus damping in front. Compression is to the right.
 */
export function forceVelocityFigure(
  builds: readonly PicturedBuild[],
  theme: Theme,
  size: Size,
  isNarrow: boolean,
): Figure {
  const margin = { l: isNarrow ? 44 : 60, r: isNarrow ? 12 : 168, t: 8, b: 52 };
  const plot = { width: size.width - margin.l - margin.r, height: size.height - margin.t - margin.b };
  const clouds = builds.map(({ identity, remounts }) => ({
    colour: identity.colour,
    x: remounts.flatMap(({ points }) => points.velocity_m_per_s.map((velocity) => velocity * mm)),
    y: remounts.flatMap(({ points }) => points.frictional_N),
  }));
  const curves = builds.flatMap(({ total }) => total);
  const x = rangeOf(
    curves.map((point) => point.velocity_m_per_s * mm),
    0.03,
  );
  const y = rangeOf([
    0,
    ...curves.flatMap((point) => [point.low95_N, point.high95_N]),
    ...clouds.flatMap((cloud) => [shareBelow(cloud.y, 0.005), shareBelow(cloud.y, 0.995)]),
  ]);
  const inView = clouds.map((cloud) => within(cloud, x, y));
  return {
    data: [...builds.flatMap(bands), ...builds.flatMap(lines)],
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(
        theme,
        isNarrow ? 'Velocity, mm/s' : 'Velocity, mm/s (rebound left, compression right)',
        x,
        isNarrow,
      ),
      yaxis: axis(theme, isNarrow ? 'Drag + damping, N' : 'Drag and damping, N', y),
      images: pointsLayer(inView, x, y, plot),
      annotations: isNarrow ? [] : lineLabels(builds.flatMap(lineEnd), y, plot.height, theme.ink),
    },
  };
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
export function bands({ identity, total }: PicturedCurve): Data[] {
  return sides(total).map((side) => ({
    type: 'scatter',
    mode: 'lines',
    x: [...side, ...side.toReversed()].map((point) => point.velocity_m_per_s * mm),
    y: [...side.map((point) => point.high95_N), ...side.toReversed().map((point) => point.low95_N)],
    fill: 'toself',
    fillcolor: withOpacity(identity.colour, 0.2),
    line: { width: 0 },
    hoverinfo: 'skip',
  }));
}

/** The line of a curve with its markers, a piece a direction. */
export function lines({ name, identity, total }: PicturedCurve): Data[] {
  return sides(total).map((side) => ({
    type: 'scatter',
    mode: 'lines+markers',
    name,
    x: side.map((point) => point.velocity_m_per_s * mm),
    y: side.map((point) => point.force_N),
    line: { color: identity.colour, width: 2.25, dash: identity.dash },
    marker: { color: identity.colour, size: 8, symbol: identity.marker, maxdisplayed: 5 },
    hoverinfo: 'skip',
  }));
}

export function lineEnd({ name, total }: Pick<PicturedCurve, 'name' | 'total'>): LineEnd[] {
  const last = total.at(-1);
  return last ? [{ text: name, y: last.force_N }] : [];
}

function within(
  cloud: { colour: string; x: number[]; y: number[] },
  x: readonly [number, number],
  y: readonly [number, number],
) {
  const inside = cloud.x.map(
    (value, i) => value >= x[0] && value <= x[1] && cloud.y[i]! >= y[0] && cloud.y[i]! <= y[1],
  );
  return {
    colour: cloud.colour,
    x: cloud.x.filter((_, i) => inside[i]),
    y: cloud.y.filter((_, i) => inside[i]),
  };
}
