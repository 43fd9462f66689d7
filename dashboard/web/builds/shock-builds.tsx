import { computed, useSignalEffect } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { ApiBuild, ApiShock } from '../../server/api.js';
import { logbook, remountsOf } from '../logbook.js';
import { spreadsBeside } from '../spreads-beside.js';
import { BuildEntry } from './build-entry.js';
import { frictionOfBuilds } from './friction.js';
import { lineageOf } from './lineage.js';
import { ShockHeading } from './shock-heading.js';

/** One shock's builds as a lineage, with one scale for all their bars; only those that are shown, where they stand. */
export function ShockBuilds(props: {
  readonly shock: ApiShock;
  readonly builds: readonly ApiBuild[];
  readonly shown: readonly ApiBuild[];
}) {
  const { shock, builds, shown } = props;
  const spreads = useMemo(() => spreadsBeside(computed(() => recordingsOf(shock))), [shock.id]);
  useSignalEffect(spreads.need);
  const friction = frictionOfBuilds(builds, spreads.known.value);
  const isTold = spreads.areHere.value || spreads.trouble.value !== null;
  const levels = [...friction.values()].flatMap(({ drag_N, breakaway_N }) => [drag_N, breakaway_N]);
  const reach_N = Math.max(0.1, ...levels.map((estimate) => estimate?.high95 ?? 0));
  return (
    <section>
      <ShockHeading shock={shock} />
      <ul class="lineage">
        {lineageOf(builds)
          .filter(({ build }) => shown.includes(build))
          .map(({ build, depth }) => (
            <BuildEntry
              key={build.id}
              build={build}
              depth={depth}
              friction={friction.get(build.id)!}
              isWaiting={!isTold}
              reach_N={reach_N}
            />
          ))}
      </ul>
    </section>
  );
}

/** Of all builds of a shock, those that count. */
const recordingsOf = ({ id }: ApiShock): number[] =>
  (logbook.value?.builds ?? [])
    .filter(({ shockId }) => shockId === id)
    .flatMap(remountsOf)
    .map((recording) => recording.id);
