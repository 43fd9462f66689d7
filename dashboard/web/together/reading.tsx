import { curveAt, type Estimate } from '../../../analysis/index.js';
import { formatNumber, plusMinus } from '../../wording/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { Swatch } from '../identity/swatch.js';

/** All curves at one speed, in one small table; the pointer on the picture or the slider sets the speed. */
export function Reading(props: {
  readonly builds: readonly PicturedBuild[];
  readonly at_mm_per_s: number;
  readonly onRead: (at_mm_per_s: number) => void;
}) {
  const { builds, at_mm_per_s } = props;
  const speeds = builds.flatMap(({ total }) => total.map((point) => point.velocity_m_per_s * 1000));
  const side = at_mm_per_s < 0 ? 'rebound' : 'compression';
  return (
    <section class="reading" aria-label="Curves at one speed">
      <h3>
        At {formatNumber(Math.abs(at_mm_per_s))} mm/s <span class="side">{side}</span>
      </h3>
      <table>
        <thead class="unseen">
          <tr>
            <th scope="col">Build</th>
            <th scope="col">Drag and damping</th>
          </tr>
        </thead>
        <tbody>
          {builds.map((build) => (
            <tr key={build.id}>
              <th scope="row">
                <Swatch identity={build.identity} />
                <span>{build.name}</span>
              </th>
              <td class="number">{forceText(curveAt(build.total, at_mm_per_s / 1000))}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <label>
        <span class="unseen">Speed at which the curves are read, mm/s</span>
        <input
          type="range"
          min={Math.ceil(Math.min(...speeds))}
          max={Math.floor(Math.max(...speeds))}
          step={1}
          value={Math.round(at_mm_per_s)}
          onInput={(event) => props.onRead(Number(event.currentTarget.value))}
        />
      </label>
    </section>
  );
}

function forceText(force_N: Estimate | null): string {
  return force_N ? plusMinus(force_N, 'N') : 'not measured';
}
