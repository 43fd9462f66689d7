import { useEffect, useRef } from 'preact/hooks';
import type { ApiBuild } from '../../server/api.js';
import { amountText, count } from '../../wording/index.js';
import { Swatch } from '../identity/swatch.js';
import { buildOf, remountsOf } from '../logbook.js';
import { PlaceLink } from '../pieces/place-link.js';
import { identityOfBuild } from '../together/selection.js';
import { units } from '../units.js';
import { BuildDetails } from './build-details.js';
import type { BuildFriction } from './friction.js';
import { FrictionBar } from './friction-bar.js';
import { made } from './keeping.js';

/** One build: what changed, its friction at a glance, and all that is known of it below. */
export function BuildEntry(props: {
  readonly build: ApiBuild;
  readonly depth: number;
  readonly friction: BuildFriction;
  /** Whether something that all builds' friction hangs on is still to come. */
  readonly isWaiting: boolean;
  readonly reach_N: number;
}) {
  const { build, depth, friction, reach_N } = props;
  const parent = build.parentId === null ? undefined : buildOf(build.parentId);
  const identity = identityOfBuild(build.id);
  const isRecorded = remountsOf(build).length > 0;
  const summary = useRef<HTMLElement>(null);
  useEffect(() => {
    if (made.value !== build.id) return;
    made.value = null;
    summary.current?.focus();
  }, []);
  return (
    <li class="build" style={{ '--depth': depth }}>
      <div class="what">
        <h3>
          <Swatch identity={identity} /> {build.name}
        </h3>
        <p class="change">{changeWords(build, parent)}</p>
      </div>
      {isRecorded && <FrictionBar friction={friction} identity={identity} reach_N={reach_N} />}
      {isRecorded && (
        <FrictionNumbers friction={friction} isWaiting={friction.isWaiting || props.isWaiting} />
      )}
      <div class="ways">
        <Ways build={build} parent={parent} />
      </div>
      <details>
        <summary ref={summary}>
          <span class="unseen">{build.name}: </span>
          {contents(build)}
        </summary>
        <BuildDetails build={build} parent={parent} />
      </details>
    </li>
  );
}

function changeWords(build: ApiBuild, parent: ApiBuild | undefined): string {
  if (build.parentId === null) return 'first build of this shock';
  const change = build.change || 'change not noted';
  return parent ? change : `${change} (what it was made from is in the bin)`;
}

/** What opens below, so that nobody has to open it to know. */
function contents({ recordings, photos, note }: ApiBuild): string {
  return [
    'Parts',
    note && 'a note',
    photos.length > 0 && count(photos.length, 'photo'),
    recordings.length > 0 && count(recordings.length, 'recording'),
  ]
    .filter(Boolean)
    .join(', ');
}

function Ways({ build, parent }: { readonly build: ApiBuild; readonly parent: ApiBuild | undefined }) {
  if (remountsOf(build).length === 0)
    return <PlaceLink to={{ place: 'bench', builds: [build.id] }}>Record it</PlaceLink>;
  if (parent && remountsOf(parent).length > 0)
    return (
      <PlaceLink to={{ place: 'together', builds: [parent.id, build.id], without: [] }}>
        See it over {parent.name}
      </PlaceLink>
    );
  return <PlaceLink to={{ place: 'together', builds: [build.id], without: [] }}>See it alone</PlaceLink>;
}

function FrictionNumbers(props: { readonly friction: BuildFriction; readonly isWaiting: boolean }) {
  const { drag_N, breakaway_N } = props.friction;
  const text = (estimate: BuildFriction['drag_N']) =>
    props.isWaiting ? '…' : amountText(estimate, 'force', units.value);
  return (
    <dl class="friction">
      <div>
        <dt>Drag</dt>
        <dd class="number">{text(drag_N)}</dd>
      </div>
      <div>
        <dt>Breakaway</dt>
        <dd class="number">{text(breakaway_N)}</dd>
      </div>
    </dl>
  );
}
