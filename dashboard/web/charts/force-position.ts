import type { Data } from 'plotly.js-dist-min';
import type { Theme } from '../theme.js';
import { axis, baseLayout, rangeOf } from './axes.js';
import type { PicturedBuild } from './pictured-build.js';
import type { Figure, Size } from './plotly.js';
import { pointsLayer } from './points-layer.js';
import { fastestLoop } from './stroke-loop.js';

const mm = 1000;

/**
 * Force against position: all measured points faint, and in front the fastest whole stroke cycle of each
 * build's last remount, as fitted.
 */
export function forcePositionFigure(
  builds: readonly PicturedBuild[],
  theme: Theme,
  size: Size,
  isNarrow: boolean,
): Figure {
  const margin = { l: isNarrow ? 44 : 60, r: 12, t: 8, b: 52 };
  const plot = { width: size.width - margin.l - margin.r, height: size.height - margin.t - margin.b };
  const clouds = builds.map(({ identity, remounts }) => ({
    colour: identity.colour,
    x: remounts.flatMap(({ points }) => points.position_m.map((position) => position * mm)),
    y: remounts.flatMap(({ points }) => points.force_N),
  }));
  const x = rangeOf(
    clouds.flatMap((cloud) => cloud.x),
    0.04,
  );
  const y = rangeOf([0, ...clouds.flatMap((cloud) => cloud.y)]);
  return {
    data: builds.flatMap(loop),
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, isNarrow ? 'Position, mm' : 'Position, mm (compression to the right)', x, isNarrow),
      yaxis: axis(theme, 'Force, N', y),
      images: pointsLayer(clouds, x, y, plot),
    },
  };
}

function loop({ name, identity, remounts }: PicturedBuild): Data[] {
  const last = remounts.at(-1);
  const shown = last && fastestLoop(last.points);
  if (!shown) return [];
  return [
    {
      type: 'scatter',
      mode: 'lines+markers',
      name,
      x: shown.position_m.map((position) => position * mm),
      y: [...shown.force_N],
      line: { color: identity.colour, width: 2, dash: identity.dash },
      marker: { color: identity.colour, size: 7, symbol: identity.marker, maxdisplayed: 4 },
      hoverinfo: 'skip',
    },
  ];
}
