import { useComputed } from '@preact/signals';
import { count, speedText } from '../../wording/index.js';
import { look } from '../address.js';
import { Chart } from '../charts/chart.js';
import { forcePositionFigure } from '../charts/force-position.js';
import { type PicturedBuild, visible } from '../charts/pictured-build.js';
import { setting } from '../charts/setting.js';
import { loopSpeeds_m_per_s, strokeLoops } from '../charts/stroke-loop.js';
import { units } from '../units.js';
import { view } from './selection.js';

/** Stroke cycles at the speeds that were driven; the fastest until somebody chooses. */
export function Loops({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const speeds = loopSpeeds_m_per_s(
    visible(builds).flatMap(({ remounts }) =>
      remounts.slice(-1).flatMap(({ points }) => strokeLoops(points)),
    ),
  );
  const wanted = useComputed(() => view.value.loops_mm_per_s);
  const shown = speeds.filter((speed) => wanted.value.some((chosen) => isSame(chosen, speed)));
  const isNarrow = setting.value.isNarrow;
  return (
    <Chart
      title="Force against position"
      note={`Line: ${shown.length > 1 ? `${count(shown.length, 'stroke cycle')} of the last remount, one a speed` : 'a stroke cycle of the last remount'}, as fitted. Points: all that was measured.`}
      controls={speeds.length > 1 && <LoopSpeeds speeds={speeds} shown={shown} />}
      height={isNarrow ? 300 : 320}
      figure={() =>
        forcePositionFigure(
          builds,
          wanted.value.map((speed) => speed / 1000),
          setting.value,
        )
      }
      drawnFrom={[builds, wanted.value, setting.value]}
      fileName="force-against-position"
    />
  );
}

function LoopSpeeds(props: { readonly speeds: readonly number[]; readonly shown: readonly number[] }) {
  const { speeds, shown } = props;
  const drawn = shown.length > 0 ? shown : speeds.slice(-1);
  const toggle = (speed: number, isWanted: boolean) =>
    look({
      loops_mm_per_s: speeds
        .filter((known) => (known === speed ? isWanted : drawn.includes(known)))
        .map((known) => Math.round(known * 1000)),
    });
  return (
    <fieldset class="picture-controls chips">
      <legend>Cycles whose fastest speed is</legend>
      {speeds.map((speed) => (
        <label key={speed} class="check">
          <input
            type="checkbox"
            checked={drawn.includes(speed)}
            disabled={drawn.length === 1 && drawn.includes(speed)}
            onChange={(event) => toggle(speed, event.currentTarget.checked)}
          />
          <span>{speedText(speed, units.value)}</span>
        </label>
      ))}
    </fieldset>
  );
}

/** The address keeps whole mm/s. */
const isSame = (chosen_mm_per_s: number, speed_m_per_s: number): boolean =>
  Math.abs(chosen_mm_per_s / (speed_m_per_s * 1000) - 1) < 0.06;
