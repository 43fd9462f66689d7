import type { ApiBuild } from '../../server/api.js';
import { go } from '../address.js';
import { Swatch } from '../identity/swatch.js';
import { logbook } from '../logbook.js';
import { EntryDetails } from './entry-details.js';
import { toggleHidden } from './hide.js';
import { type ChosenBuild, chosen, chosenIds, recordedBuilds, view } from './selection.js';

const roles = ['Reference', 'Against it'];

/** What is seen over what, as a line of text whose parts can be changed. */
export function Chooser() {
  const free = recordedBuilds.value.filter((build) => !chosenIds.value.includes(build.id));
  return (
    <ul class="chooser" aria-label="Builds shown">
      {chosen.value.map((entry, place) => (
        <ChosenEntry key={place} entry={entry} place={place} free={free} />
      ))}
      {free.length > 0 && (
        <li class="add">
          <span class="role" />
          <select
            aria-label="Add a build"
            value=""
            onChange={(event) => {
              const id = Number(event.currentTarget.value);
              event.currentTarget.value = '';
              go({ builds: [...chosenIds.value, id] });
            }}
          >
            <option value="">Add a build …</option>
            {free.map((build) => (
              <option key={build.id} value={build.id}>
                {nameIn(build)}
              </option>
            ))}
          </select>
        </li>
      )}
    </ul>
  );
}

function ChosenEntry(props: {
  readonly entry: ChosenBuild;
  readonly place: number;
  readonly free: readonly ApiBuild[];
}) {
  const { entry, place, free } = props;
  const put = (id: number) => go({ builds: chosenIds.value.map((old, at) => (at === place ? id : old)) });
  return (
    <li class="chosen">
      <span class="role">{roles[place]}</span>
      <span class="name">
        <Swatch identity={entry.identity} />
        <HideButton build={entry.build} />
        <select
          aria-label={place === 0 ? 'Reference build' : `Build ${place + 1}`}
          value={entry.build.id}
          onChange={(event) => put(Number(event.currentTarget.value))}
        >
          {[entry.build, ...free].map((build) => (
            <option key={build.id} value={build.id}>
              {nameIn(build)}
            </option>
          ))}
        </select>
      </span>
      <EntryDetails entry={entry} />
    </li>
  );
}

/** The keyboard's and the phone's way of what a click on the name in a picture does. */
function HideButton({ build }: { readonly build: ApiBuild }) {
  if (chosen.value.length < 2) return null;
  const isHidden = view.value.hidden.includes(build.id);
  return (
    <button
      type="button"
      class="quiet eye"
      aria-pressed={isHidden}
      aria-label={`Hide ${build.name} in the pictures`}
      title={isHidden ? 'Show it in the pictures again' : 'Hide it in the pictures'}
      onClick={() => toggleHidden(build.id)}
    >
      <svg width="18" height="14" viewBox="0 0 18 14" aria-hidden="true">
        <path d="M1 7q8-11 16 0q-8 11-16 0z" />
        {isHidden ? <path d="M3 13L15 1" /> : <circle cx="9" cy="7" r="2.4" />}
      </svg>
    </button>
  );
}

/** The shock is named only where there is more than one. */
function nameIn(build: ApiBuild): string {
  const shocks = logbook.value?.shocks ?? [];
  if (shocks.length < 2) return build.name;
  return `${build.name} (${shocks.find((shock) => shock.id === build.shockId)?.name ?? ''})`;
}
