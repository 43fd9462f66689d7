import type { Identity } from '../identity/identity.js';
import type { BuildFriction } from './friction.js';

const WIDTH = 176;
const HEIGHT = 18;

/** Drag as a bar and breakaway as a mark beyond it, on a scale that all builds of a shock share. */
export function FrictionBar(props: {
  readonly friction: BuildFriction;
  readonly identity: Identity;
  readonly reach_N: number;
}) {
  const { drag_N, breakaway_N } = props.friction;
  const { colour } = props.identity;
  const at = (force_N: number) => 1 + (Math.max(0, force_N) / props.reach_N) * (WIDTH - 4);
  const middle = HEIGHT / 2;
  return (
    <svg
      class="friction-bar"
      width={WIDTH}
      height={HEIGHT}
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      aria-hidden="true"
    >
      <line class="zero" x1="1" x2="1" y1="0" y2={HEIGHT} />
      {drag_N && (
        <rect
          x="1"
          y="4"
          width={at(drag_N.value) - 1}
          height={HEIGHT - 8}
          fill={colour}
          fill-opacity="0.3"
          stroke={colour}
        />
      )}
      {drag_N && breakaway_N && (
        <path
          d={`M${at(drag_N.value)} ${middle}H${at(breakaway_N.value)}M${at(breakaway_N.value)} 3V${HEIGHT - 3}`}
          stroke={colour}
          stroke-width="2"
        />
      )}
    </svg>
  );
}
