import { useSignal } from '@preact/signals';
import type { ApiError, ApiShock } from '../../server/api.js';
import { postBody, troubleOf } from '../api.js';
import { useFormFocus, useOpener } from '../pieces/keep-focus.js';
import { NoteField, TextField } from '../pieces/text-field.js';
import { Trouble } from '../pieces/trouble.js';

/** A shock's label and note, and the way to change them. */
export function ShockHeading({ shock }: { readonly shock: ApiShock }) {
  const edited = useSignal<{ readonly name: string; readonly note: string } | null>(null);
  const trouble = useSignal<ApiError | null>(null);
  const opener = useOpener(edited.value !== null);
  const form = useFormFocus(trouble.value, edited.value !== null);
  const send = async () => {
    try {
      trouble.value = null;
      await postBody(`/api/shocks/${shock.id}`, edited.value);
      edited.value = null;
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
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
    <form
      ref={form}
      class="build-form"
      aria-label={`Describe shock ${shock.name}`}
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
    >
      <div class="fields">
        <TextField
          label="Label of the shock"
          value={name}
          onInput={(next) => (edited.value = { name: next, note })}
        />
        <NoteField label="Note" value={note} onInput={(next) => (edited.value = { name, note: next })} />
      </div>
      {trouble.value && <Trouble error={trouble.value} />}
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
