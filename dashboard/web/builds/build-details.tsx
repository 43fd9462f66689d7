import { useSignal } from '@preact/signals';
import type { ApiBuild } from '../../server/api.js';
import { partLabel, partText } from '../../wording/index.js';
import { useOpener } from '../pieces/keep-focus.js';
import { units } from '../units.js';
import { BuildForm } from './build-form.js';
import { throwAway } from './keeping.js';
import { Photos } from './photos.js';
import { RecordingTable } from './recording-table.js';

/** All that is known of a build: its parts, where they came from, notes, photos, recordings; and what can be done with it. */
export function BuildDetails(props: { readonly build: ApiBuild; readonly parent: ApiBuild | undefined }) {
  const { build, parent = null } = props;
  const doing = useSignal<'new' | 'edit' | null>(null);
  const opensNew = useOpener(doing.value === 'new');
  const opensEdit = useOpener(doing.value === 'edit');
  const done = () => (doing.value = null);
  return (
    <div class="build-details">
      {build.parts.length > 0 ? (
        <PartList build={build} />
      ) : (
        <p class="note">
          Nothing is noted of its parts. “Describe it anew” is the place for seal, oil and piston.
        </p>
      )}
      {build.note && <p class="build-note">{build.note}</p>}
      <div class="buttons">
        <button
          ref={opensNew}
          type="button"
          aria-expanded={doing.value === 'new'}
          onClick={() => (doing.value = 'new')}
        >
          New build from this
        </button>
        <button
          ref={opensEdit}
          type="button"
          aria-expanded={doing.value === 'edit'}
          onClick={() => (doing.value = 'edit')}
        >
          Describe it anew
        </button>
        <button
          type="button"
          class="quiet"
          onClick={() => void throwAway({ kind: 'build', item: String(build.id) })}
        >
          Move to the bin
        </button>
      </div>
      {doing.value === 'new' && (
        <BuildForm key="new" subject={{ kind: 'new', parent: build }} onDone={done} />
      )}
      {doing.value === 'edit' && (
        <BuildForm key="edit" subject={{ kind: 'edit', build, parent }} onDone={done} />
      )}
      <Photos build={build} />
      {build.recordings.length > 0 && <RecordingTable recordings={build.recordings} />}
    </div>
  );
}

function PartList({ build }: { readonly build: ApiBuild }) {
  return (
    <dl class="parts">
      {build.parts.map(({ part, properties, inherited }) => {
        const from = build.changes.find((change) => change.part === part)?.from;
        return (
          <div key={part} class={inherited ? 'inherited' : ''}>
            <dt>{partLabel(part)}</dt>
            <dd>
              {from && <span class="from">{partText(part, from, units.value)} → </span>}
              {partText(part, properties, units.value)}
              {inherited && <span class="note"> inherited</span>}
            </dd>
          </div>
        );
      })}
    </dl>
  );
}
