import { speedText } from '../../wording/index.js';
import { axis, baseLayout, endsWithoutWild, rangeOf, scaled } from './axes.js';
import { positionTitle } from './drag-position.js';
import { heading } from './picture-table.js';
import { type PicturedBuild, visible } from './pictured-build.js';
import type { Figure } from './plotly.js';
import { type Scales, type Setting, scalesOf } from './setting.js';
import { fastestLoop, loopNear, type StrokeLoop, strokeLoops } from './stroke-loop.js';
import type { MarkedLine } from './underlay.js';

/**
 * Force against position: all measured points faint, and in front whole stroke cycles of each build's last remount,
 * as fitted.
 * @param speeds_m_per_s peak speeds of the cycles; none for the fastest
 */
export function forcePositionFigure(
  builds: readonly PicturedBuild[],
  speeds_m_per_s: readonly number[],
  { theme, isNarrow, units }: Setting,
): Figure {
  const scales = scalesOf(units);
  const { force, length } = scales;
  const margin = { l: isNarrow ? 44 : 60, r: 12, t: 8, b: 52 };
  const shown = visible(builds);
  const clouds = shown.map(({ identity, remounts }) => ({
    colour: identity.colour,
    parts: remounts.map(({ points }) => ({ x: points.position_m, y: points.force_N })),
  }));
  const parts = clouds.flatMap((cloud) => cloud.parts);
  const x_m = rangeOf(
    parts.flatMap((part) => endsWithoutWild(part.x, 0)),
    0.04,
  );
  const y_N = rangeOf([0, ...parts.flatMap((part) => endsWithoutWild(part.y, 0))]);
  const loops = shown.flatMap((build) => loopsOf(build, speeds_m_per_s).map((loop) => ({ build, loop })));
  return {
    data: [],
    lines: loops.map(({ build, loop }) => loopLine(build, loop, scales)),
    layout: {
      ...baseLayout(theme, margin),
      xaxis: axis(theme, positionTitle(scales, isNarrow), scaled(x_m, length.factor), isNarrow),
      yaxis: axis(theme, `Force, ${force.unit}`, scaled(y_N, force.factor)),
    },
    points: { clouds, perUnit: { x: length.factor, y: force.factor } },
    table: () => ({
      columns: ['build', 'what', heading('position', length), heading('force', force)],
      rows: [
        ...loops.flatMap(({ build, loop }) =>
          loop.position_m.map((position, i) => [
            build.name,
            `cycle as fitted, fastest at ${speedText(loop.peakVelocity_m_per_s, units)}`,
            position * length.factor,
            loop.force_N[i]! * force.factor,
          ]),
        ),
        ...shown.flatMap(({ name, remounts }) =>
          remounts.flatMap(({ remount, points }) =>
            points.position_m.map((position, i) => [
              name,
              `remount ${remount} as measured`,
              position * length.factor,
              points.force_N[i]! * force.factor,
            ]),
          ),
        ),
      ],
    }),
  };
}

function loopsOf({ remounts }: PicturedBuild, speeds_m_per_s: readonly number[]): StrokeLoop[] {
  const last = remounts.at(-1);
  if (!last) return [];
  if (speeds_m_per_s.length === 0) return [fastestLoop(last.points)].filter((loop) => loop !== null);
  const loops = strokeLoops(last.points);
  return [...new Set(speeds_m_per_s.map((speed) => loopNear(loops, speed)))].filter((loop) => loop !== null);
}

const loopLine = (
  { name, identity }: PicturedBuild,
  shown: StrokeLoop,
  { force, length }: Scales,
): MarkedLine => ({
  name,
  x: shown.position_m.map((position) => position * length.factor),
  y: shown.force_N.map((fitted) => fitted * force.factor),
  identity,
  width: 2,
  markers: { size: 7, most: 4 },
});
