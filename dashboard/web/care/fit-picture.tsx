import { formatNumber } from '../../wording/index.js';
import { narrow } from '../theme.js';
import { axisOver } from './axis.js';
import type { DrawnFit, FittedPoint } from './fit-of.js';
import { type Frame, Panel, pathOf } from './panel.js';

const HEIGHT = 380;

/** Readings with their fit, and how far the fit misses each, on a scale of its own. */
export function FitPicture({ fit }: { readonly fit: DrawnFit }) {
  const { points, band } = fit;
  const width = narrow.value ? 350 : 720;
  const frame = (top: number, bottom: number): Frame => ({ left: 64, right: width - 12, top, bottom });
  const [upper, lower] = [frame(24, 176), frame(222, 336)];
  const xs = points.map(({ x }) => x);
  const x = axisOver([0, ...xs], upper.left, upper.right, narrow.value ? 3 : 6);
  const ys = points.flatMap(({ y, model }) => [y, model]);
  const y = axisOver(ys, upper.bottom, upper.top, 3);
  const reach = band ?? 0;
  const off = axisOver([0, reach, -reach, ...points.map((point) => point.off)], lower.bottom, lower.top);
  const fitted = points
    .toSorted((a, b) => a.x - b.x)
    .map((point) => [x.at(point.x), y.at(point.model)] as const);
  const worst = Math.max(...points.map((point) => Math.abs(point.off)));
  return (
    <figure class="care-figure">
      <svg
        class="care-picture"
        viewBox={`0 0 ${width} ${HEIGHT}`}
        role="img"
        aria-label={`${points.length} readings; the fit misses none by more than ${formatNumber(worst, 2)} ${fit.offUnit}`}
      >
        <Panel frame={upper} x={x} y={y} yTitle={fit.yTitle}>
          <path class="run" d={pathOf(fitted)} />
          {points.map((point, i) => (
            <Mark key={i} way={point.way} x={x.at(point.x)} y={y.at(point.y)} />
          ))}
        </Panel>
        <Panel frame={lower} x={x} y={off} xTitle={fit.xTitle} yTitle={fit.offTitle}>
          {band !== null && (
            <rect
              class="band"
              x={lower.left}
              width={lower.right - lower.left}
              y={off.at(band)}
              height={off.at(-band) - off.at(band)}
            />
          )}
          {points.map((point, i) => (
            <Mark key={i} way={point.way} x={x.at(point.x)} y={off.at(point.off)} />
          ))}
        </Panel>
      </svg>
      <figcaption class="note">{fit.says}</figcaption>
    </figure>
  );
}

/** A triangle that points the way the values went. */
function Mark({ way, x, y }: { readonly way: FittedPoint['way']; readonly x: number; readonly y: number }) {
  const s = way === 'up' ? -1 : 1;
  return <path class={`reading ${way}`} d={`M${x - 4} ${y - 3 * s}h8l-4 ${7 * s}z`} />;
}
