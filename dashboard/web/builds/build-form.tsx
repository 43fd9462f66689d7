import { useSignal } from '@preact/signals';
import type { ApiBuild, ApiError, MadeBody, TypedParts } from '../../server/api.js';
import { partLabel, partText } from '../../wording/index.js';
import { postBody, troubleOf } from '../api.js';
import { logbook } from '../logbook.js';
import { useFormFocus } from '../pieces/keep-focus.js';
import { NoteField, TextField } from '../pieces/text-field.js';
import { Trouble } from '../pieces/trouble.js';
import { units } from '../units.js';
import { keeping, made } from './keeping.js';
import { fromShelf, type PartName, partFields, partNames } from './part-fields.js';

/** A build being made from another one (or from nothing), or one being described anew. */
export type FormSubject =
  | { readonly kind: 'new'; readonly parent: ApiBuild | null }
  | { readonly kind: 'edit'; readonly build: ApiBuild; readonly parent: ApiBuild | null };

/** What changed, part by part, from what to what; what is not named stays as in the parent. */
export function BuildForm(props: { readonly subject: FormSubject; readonly onDone: () => void }) {
  const { subject, onDone } = props;
  const { parent } = subject;
  const build = subject.kind === 'edit' ? subject.build : null;
  const said = useSignal({
    shock: '',
    name: build?.name ?? '',
    change: build?.said ?? '',
    note: build?.note ?? '',
  });
  const parts = useSignal<TypedParts>(ownParts(build));
  const open = useSignal<readonly PartName[]>(
    partNames.filter((part) => partFields[part].some(({ key }) => key in parts.value)),
  );
  const trouble = useSignal<ApiError | null>(null);
  const isSending = useSignal(false);
  const form = useFormFocus(trouble.value);
  const shelf = keeping.value?.shelf ?? [];
  const at = (field: string) => (trouble.value?.where === `body.${field}` ? trouble.value : null);
  const isPlaced = trouble.value !== null && /^body\.(name|shock|parts\.\w+)$/.test(trouble.value.where);

  const toggle = (part: PartName) => {
    const isOpen = open.value.includes(part);
    open.value = isOpen ? open.value.filter((one) => one !== part) : [...open.value, part];
    if (!isOpen) return;
    const keys = partFields[part].map(({ key }) => key);
    parts.value = Object.fromEntries(Object.entries(parts.value).filter(([key]) => !keys.includes(key)));
  };
  const type = (key: string, value: string) => {
    const known = fromShelf(key, value, shelf);
    parts.value = { ...parts.value, [key]: value, ...known };
    if ('holes' in known && !open.value.includes('holes')) open.value = [...open.value, 'holes'];
  };
  const send = async () => {
    isSending.value = true;
    trouble.value = null;
    const { shock, ...rest } = said.value;
    try {
      if (build) await postBody(`/api/builds/${build.id}`, { ...rest, parts: parts.value });
      else {
        const { id } = await postBody<MadeBody>('/api/builds', {
          ...rest,
          shock,
          parentId: parent?.id ?? null,
          parts: parts.value,
        });
        made.value = id;
      }
      onDone();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
    isSending.value = false;
  };

  return (
    <form
      ref={form}
      class="build-form"
      aria-label={build ? `Describe ${build.name}` : 'New build'}
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
    >
      <fieldset>
        <legend>{parent ? `What is not as in '${parent.name}'?` : 'What is in it?'}</legend>
        <div class="part-names">
          {partNames.map((part) => (
            <button
              key={part}
              type="button"
              aria-pressed={open.value.includes(part)}
              onClick={() => toggle(part)}
            >
              {partLabel(part)}
            </button>
          ))}
        </div>
        {partNames
          .filter((part) => open.value.includes(part))
          .map((part) => (
            <div key={part} class="part-change">
              {parent && <p class="note">{nowIn(parent, part)}</p>}
              <div class="fields">
                {partFields[part].map(({ key, label, hint, isNumber = false, choices }) => (
                  <TextField
                    key={key}
                    label={label}
                    hint={hint}
                    isNumber={isNumber}
                    choices={choices?.(shelf) ?? []}
                    value={parts.value[key] ?? ''}
                    trouble={at(`parts.${key}`)}
                    onInput={(value) => type(key, value)}
                  />
                ))}
              </div>
            </div>
          ))}
        {parent && <Inherited parent={parent} changed={open.value} />}
      </fieldset>
      <div class="fields">
        {subject.kind === 'new' && !parent && (
          <TextField
            label="Shock"
            hint="front left"
            choices={(logbook.value?.shocks ?? []).map(({ name }) => name)}
            value={said.value.shock}
            trouble={at('shock')}
            onInput={(shock) => (said.value = { ...said.value, shock })}
          />
        )}
        <TextField
          label="Name of the build"
          hint={parent ? 'new seal' : 'as it came'}
          value={said.value.name}
          trouble={at('name')}
          onInput={(name) => (said.value = { ...said.value, name })}
        />
        {parent && (
          <TextField
            label="Change in your own words, if any"
            length={200}
            value={said.value.change}
            onInput={(change) => (said.value = { ...said.value, change })}
          />
        )}
        <NoteField
          label="Note"
          value={said.value.note}
          onInput={(note) => (said.value = { ...said.value, note })}
        />
      </div>
      {trouble.value && !isPlaced && <Trouble error={trouble.value} />}
      <div class="buttons">
        <button type="submit" class="action" disabled={isSending.value}>
          {build ? 'Keep it' : 'Make the build'}
        </button>
        <button type="button" onClick={onDone}>
          Never mind
        </button>
      </div>
    </form>
  );
}

function Inherited(props: { readonly parent: ApiBuild; readonly changed: readonly PartName[] }) {
  const stays = props.parent.parts.filter(({ part }) => !props.changed.includes(part));
  if (stays.length === 0) return null;
  return (
    <p class="note">
      Stays:{' '}
      {stays
        .map(
          ({ part, properties }) =>
            `${partLabel(part).toLowerCase()} ${partText(part, properties, units.value)}`,
        )
        .join(' · ')}
    </p>
  );
}

function nowIn(parent: ApiBuild, part: PartName): string {
  const before = parent.parts.find((one) => one.part === part);
  return before
    ? `In '${parent.name}': ${partText(part, before.properties, units.value)} →`
    : `In '${parent.name}': not noted →`;
}

/** What a build itself says of its parts, as texts. */
function ownParts(build: ApiBuild | null): TypedParts {
  const own = build?.parts.filter(({ inherited }) => !inherited) ?? [];
  return Object.fromEntries(
    own.flatMap(({ properties }) => Object.entries(properties).map(([key, value]) => [key, String(value)])),
  );
}
