import { formatNumber } from '../../wording/index.js';
import { narrow } from '../theme.js';
import { axisOver } from './axis.js';
import type { FittedReading } from './evidence.js';
import { type Frame, Panel } from './panel.js';

const HEIGHT = 380;

/** Readings over what is known of them, and how far the calibration misses each, on a scale of its own. */
export function FitPicture(props: {
  readonly readings: readonly FittedReading[];
  readonly quantity: 'force' | 'position';
  /** Standard uncertainty of a single value, N or m; drawn twice as a band. */
  readonly scatter: number;
}) {
  const { readings, quantity, scatter } = props;
  const width = narrow.value ? 350 : 720;
  const [unit, factor, smallUnit, small] =
    quantity === 'force' ? (['N', 1, 'mN', 1e3] as const) : (['mm', 1e3, 'µm', 1e6] as const);
  const frame = (top: number, bottom: number): Frame => ({ left: 64, right: width - 12, top, bottom });
  const [upper, lower] = [frame(24, 176), frame(222, 336)];
  const x = axisOver(
    [0, ...readings.map(({ known }) => known * factor)],
    upper.left,
    upper.right,
    narrow.value ? 3 : 6,
  );
  const y = axisOver(
    readings.map(({ counts }) => counts / 1000),
    upper.bottom,
    upper.top,
    3,
  );
  const off = axisOver(
    [0, 2 * scatter * small, -2 * scatter * small, ...readings.map((reading) => reading.off * small)],
    lower.bottom,
    lower.top,
  );
  const line = [...readings]
    .sort((a, b) => a.known - b.known)
    .map(({ known, counts }, i) => `${i ? 'L' : 'M'}${x.at(known * factor)} ${y.at(counts / 1000)}`)
    .join('');
  const worst = Math.max(...readings.map((reading) => Math.abs(reading.off)));
  return (
    <svg
      class="care-picture"
      viewBox={`0 0 ${width} ${HEIGHT}`}
      role="img"
      aria-label={`${readings.length} readings; the calibration misses none by more than ${formatNumber(worst * small, 2)} ${smallUnit}`}
    >
      <Panel frame={upper} x={x} y={y} yTitle="Reading, thousands of counts">
        <path class="run" d={line} />
        {readings.map((reading, i) => (
          <Mark key={i} way={reading.way} x={x.at(reading.known * factor)} y={y.at(reading.counts / 1000)} />
        ))}
      </Panel>
      <Panel
        frame={lower}
        x={x}
        y={off}
        xTitle={`known ${quantity}, ${unit}`}
        yTitle={`Calibration less known, ${smallUnit}`}
      >
        <rect
          class="band"
          x={lower.left}
          width={lower.right - lower.left}
          y={off.at(2 * scatter * small)}
          height={off.at(-2 * scatter * small) - off.at(2 * scatter * small)}
        />
        {readings.map((reading, i) => (
          <Mark key={i} way={reading.way} x={x.at(reading.known * factor)} y={off.at(reading.off * small)} />
        ))}
      </Panel>
    </svg>
  );
}

/** A triangle that points the way the values went. */
function Mark({ way, x, y }: { readonly way: FittedReading['way']; readonly x: number; readonly y: number }) {
  const s = way === 'up' ? -1 : 1;
  return <path class={`reading ${way}`} d={`M${x - 4} ${y - 3 * s}h8l-4 ${7 * s}z`} />;
}
