import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { scaleEstimate } from '../../../analysis/index.js';
import { overlayOf } from '../../answers/index.js';
import { displayScale, formatChosen } from '../../wording/index.js';
import { look } from '../address.js';
import { Chart } from '../charts/chart.js';
import { type DampingAtSpeed, dampingBarsFigure, dampingBarsHeight } from '../charts/damping-bars.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { setting } from '../charts/setting.js';
import { NumberField } from '../pieces/number-field.js';
import { typedNumbers } from '../pieces/typed-numbers.js';
import { units } from '../units.js';
import { view } from './selection.js';
import { known } from './spreads.js';

/** Speeds that builds are compared at, until somebody chooses; those that were reached, at most three. */
const usual_m_per_s = [0.05, 0.1, 0.2, 0.3, 0.4];
const most = 6;

/** Damping of every build at a few speeds. */
export function DampingAtSpeeds({ builds }: { readonly builds: readonly PicturedBuild[] }) {
  const { at_degC, readSpeeds_mm_per_s } = view.value;
  const bars = useMemo(() => {
    const recordings = builds.map((build) => build.recordings);
    const { forcesAt } = overlayOf(recordings, { kind: 'damping', at_degC, known: known.value });
    const chosen = readSpeeds_mm_per_s.slice(0, most).map((speed) => speed / 1000);
    const speeds =
      chosen.length > 0
        ? chosen
        : usual_m_per_s.filter((speed) => [speed, -speed].some((v) => forcesAt(v).some(Boolean))).slice(0, 3);
    return speeds.map((speed_m_per_s) => ({
      speed_m_per_s,
      compression: forcesAt(speed_m_per_s),
      rebound: forcesAt(-speed_m_per_s).map((force) => force && scaleEstimate(force, -1)),
    }));
  }, [builds, at_degC, readSpeeds_mm_per_s, known.value]);
  const shown = bars.flatMap(({ speed_m_per_s, compression, rebound }) =>
    builds.flatMap(({ name, identity, isHidden }, b): DampingAtSpeed[] =>
      isHidden
        ? []
        : [
            {
              name,
              identity,
              speed_m_per_s,
              compression_N: compression[b] ?? null,
              rebound_N: rebound[b] ?? null,
            },
          ],
    ),
  );
  const isNarrow = setting.value.isNarrow;
  return (
    <Chart
      title="Damping at chosen speeds"
      note={`Bar: over the remounts, with its 95 % interval. ${at_degC === null ? 'As measured.' : `Brought to ${formatChosen(at_degC)} °C.`}`}
      controls={<SpeedsField speeds_m_per_s={bars.map(({ speed_m_per_s }) => speed_m_per_s)} />}
      height={dampingBarsHeight(shown.length, bars.length, isNarrow ? 240 : 300)}
      figure={(size) => dampingBarsFigure(shown, setting.value, size)}
      drawnFrom={[builds, bars, setting.value]}
      fileName="damping-at-speeds"
    />
  );
}

function SpeedsField({ speeds_m_per_s }: { readonly speeds_m_per_s: readonly number[] }) {
  const { unit, factor } = displayScale('velocity', units.value);
  const refused = useSignal<string | null>(null);
  return (
    <div class="picture-controls">
      <NumberField
        label="Speeds"
        unit={unit}
        length={40}
        value={refused.value ?? speeds_m_per_s.map((speed) => formatChosen(speed * factor, 4)).join('  ')}
        trouble={
          refused.value === null
            ? null
            : {
                code: 'bad-number',
                found: `“${refused.value}”`,
                wanted: `up to ${most} speeds with spaces between`,
                where: 'Speeds',
              }
        }
        onChange={(text) => {
          const typed = typedNumbers(text);
          const isGood =
            typed !== null && typed.length <= most && typed.every((speed) => (speed / factor) * 1000 >= 1);
          refused.value = isGood ? null : text;
          if (!isGood) return;
          const kept = typed.map((speed) => Number(((speed / factor) * 1000).toPrecision(6)));
          look({ readSpeeds_mm_per_s: [...new Set(kept)] });
        }}
      />
    </div>
  );
}
