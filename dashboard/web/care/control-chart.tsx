import type { ControlLimits } from '../../../analysis/index.js';
import type { CheckedQuantity } from '../../answers/index.js';
import { checkedScale, checkRows } from '../../wording/index.js';
import { shortTime } from '../pieces/times.js';
import { narrow } from '../theme.js';
import { units } from '../units.js';
import { type Axis, axisOver } from './axis.js';
import { type Frame, Panel, pathOf } from './panel.js';

const HEIGHT = 330;

/** A check standard's control charts: each sitting against what the rig does by itself, and their moving average. */
export function ControlChart({ checked }: { readonly checked: CheckedQuantity }) {
  const width = narrow.value ? 350 : 720;
  const { factor } = checkedScale(checked.quantity, units.value);
  const shown = (at: ControlLimits): ControlLimits => ({
    low: at.low * factor,
    centre: at.centre * factor,
    high: at.high * factor,
  });
  const { startedAt } = checked;
  const sittings = checked.sittings.map((value) => value * factor);
  const limits = checked.limits && shown(checked.limits);
  const averages = checked.averages.map(({ value, limits: at }) => ({
    value: value * factor,
    limits: shown(at),
  }));
  const [row] = checkRows({ verdict: checked.verdict, quantities: [checked] }, units.value);
  const frame = (top: number, bottom: number): Frame => ({ left: 56, right: width - 76, top, bottom });
  const [upper, lower] = [frame(24, 176), frame(218, 286)];
  const x = axisOver([0, Math.max(1, sittings.length - 1)], upper.left, upper.right, narrow.value ? 2 : 5);
  const wholes = { ...x, ticks: x.ticks.filter((tick) => Number.isInteger(tick) && tick < sittings.length) };
  const endsOf = ({ low, high }: ControlLimits) => [low, high];
  const y = axisOver([...sittings, ...(limits ? endsOf(limits) : [])], upper.bottom, upper.top);
  const average = axisOver(
    [
      ...averages.flatMap(({ value, limits: at }) => [value, ...endsOf(at)]),
      ...(averages.length ? [] : sittings),
    ],
    lower.bottom,
    lower.top,
    3,
  );
  const first = sittings.length - averages.length;
  return (
    <svg
      class="care-picture"
      viewBox={`0 0 ${width} ${HEIGHT}`}
      role="img"
      aria-label={`${row!.quantity}: ${sittings.length} sittings, the newest ${row!.newest}, limits ${row!.limits}; moving average ${row!.average}, its limits ${row!.averageLimits}`}
    >
      <Panel frame={upper} x={wholes} y={y} yTitle={`${row!.quantity}, each sitting`}>
        {limits && <Limits frame={upper} y={y} limits={limits} />}
        <path class="run" d={pathOf(sittings.map((value, i) => [x.at(i), y.at(value)]))} />
        {sittings.map((value, i) => (
          <circle
            key={startedAt[i]}
            class={limits && (value < limits.low || value > limits.high) ? 'beyond' : 'sitting'}
            cx={x.at(i)}
            cy={y.at(value)}
            r={i === sittings.length - 1 ? 5 : 3.5}
          />
        ))}
      </Panel>
      <Panel
        frame={lower}
        x={wholes}
        y={average}
        xTitle="sitting"
        yTitle="Moving average"
        xWord={(value) => shortTime(startedAt[value]!).split(',')[0]!}
      >
        {averages.length === 0 ? (
          <text class="tick" x={lower.left + 8} y={(lower.top + lower.bottom) / 2 + 4}>
            from the fourth sitting on
          </text>
        ) : (
          <>
            {(['low', 'high'] as const).map((side) => (
              <path
                key={side}
                class="limit"
                d={pathOf(averages.map(({ limits: at }, i) => [x.at(first + i), average.at(at[side])]))}
              />
            ))}
            <path
              class="run average"
              d={pathOf(averages.map(({ value }, i) => [x.at(first + i), average.at(value)]))}
            />
            {averages.map(({ value }, i) => (
              <rect
                key={startedAt[first + i]}
                class="sitting"
                x={x.at(first + i) - 3}
                y={average.at(value) - 3}
                width="6"
                height="6"
              />
            ))}
          </>
        )}
      </Panel>
    </svg>
  );
}

function Limits(props: { readonly frame: Frame; readonly y: Axis; readonly limits: ControlLimits }) {
  const { frame, y, limits } = props;
  const lines = [
    ['limit', limits.high, 'upper limit'],
    ['centre', limits.centre, 'usual'],
    ['limit', limits.low, 'lower limit'],
  ] as const;
  return (
    <>
      {lines.map(([name, value, word]) => (
        <g key={word}>
          <line class={name} x1={frame.left} x2={frame.right} y1={y.at(value)} y2={y.at(value)} />
          <text class="tick" x={frame.right + 6} y={y.at(value) + 4}>
            {word}
          </text>
        </g>
      ))}
    </>
  );
}
