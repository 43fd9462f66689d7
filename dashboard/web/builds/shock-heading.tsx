import type { ApiShock } from '../../server/api.js';
import { NoteField, TextField } from '../pieces/text-field.js';
import { Trouble } from '../pieces/trouble.js';
import { useEdited } from './use-edited.js';

/** A shock's label and note, and the way to change them. */
export function ShockHeading({ shock }: { readonly shock: ApiShock }) {
  const { edited, trouble, opener, form, send } = useEdited<Pick<ApiShock, 'name' | 'note'>>(
    `/api/shocks/${shock.id}`,
    (said) => said,
  );
  if (!edited.value)
    return (
      <>
        <h2 class="shock-name">
          {shock.name}{' '}
          <button
            ref={opener}
            type="button"
            class="quiet"
            aria-label={`Rename or note shock ${shock.name}`}
            onClick={() => (edited.value = { name: shock.name, note: shock.note })}
          >
            Rename or note
          </button>
        </h2>
        {shock.note && <p class="build-note">{shock.note}</p>}
      </>
    );
  const { name, note } = edited.value;
  return (
    <form ref={form} class="build-form" aria-label={`Describe shock ${shock.name}`} onSubmit={send}>
      <div class="fields">
        <TextField
          label="Label of the shock"
          value={name}
          onInput={(next) => (edited.value = { name: next, note })}
        />
        <NoteField label="Note" value={note} onInput={(next) => (edited.value = { name, note: next })} />
      </div>
      {trouble && <Trouble error={trouble} />}
      <div class="buttons">
        <button type="submit" class="action">
          Keep it
        </button>
        <button type="button" onClick={() => (edited.value = null)}>
          Never mind
        </button>
      </div>
    </form>
  );
}
