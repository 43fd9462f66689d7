import { curveAt } from '../../../analysis/index.js';
import { amountText, displayScale, formatNumber } from '../../wording/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { Swatch } from '../identity/swatch.js';
import { units } from '../units.js';

/** All curves at one speed, in one small table; the pointer on the picture or the slider sets the speed. */
export function Reading(props: {
  readonly builds: readonly PicturedBuild[];
  /** What the curves are. */
  readonly quantity: string;
  readonly at_mm_per_s: number;
  readonly onRead: (at_mm_per_s: number) => void;
}) {
  const { builds, quantity, at_mm_per_s } = props;
  const speeds = builds.flatMap(({ total }) => total.map((point) => point.velocity_m_per_s * 1000));
  const side = at_mm_per_s < 0 ? 'rebound' : 'compression';
  const { unit, factor } = displayScale('velocity', units.value);
  const spoken = `${formatNumber(Math.abs(at_mm_per_s / 1000) * factor)} ${unit}`;
  return (
    <section class="reading" aria-label="Curves at one speed">
      <h3>
        At {spoken} <span class="side">{side}</span>
      </h3>
      <table>
        <thead class="unseen">
          <tr>
            <th scope="col">Build</th>
            <th scope="col">{quantity}</th>
          </tr>
        </thead>
        <tbody>
          {builds.map((build) => (
            <tr key={build.id}>
              <th scope="row">
                <Swatch identity={build.identity} />
                <span>{build.name}</span>
              </th>
              <td class="number">{forceText(build, at_mm_per_s / 1000)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {speeds.length > 0 && (
        <label>
          <span class="unseen">Speed at which the curves are read</span>
          <input
            type="range"
            min={Math.ceil(Math.min(...speeds))}
            max={Math.floor(Math.max(...speeds))}
            step={1}
            value={Math.round(at_mm_per_s)}
            aria-valuetext={`${spoken} ${side}`}
            onInput={(event) => props.onRead(Number(event.currentTarget.value))}
          />
        </label>
      )}
    </section>
  );
}

function forceText({ total }: PicturedBuild, velocity_m_per_s: number): string {
  const force_N = curveAt(total, velocity_m_per_s);
  return force_N ? amountText(force_N, 'force', units.value) : 'not measured';
}
