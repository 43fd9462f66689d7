import { useSignal } from '@preact/signals';
import type { ShelfItemBody } from '../../server/api.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { typedNumber } from '../pieces/number-field.js';
import { TextField } from '../pieces/text-field.js';
import { keepingTrouble, putOnShelf } from './keeping.js';

type Kind = ShelfItemBody['kind'];

interface ShelfField {
  readonly key: string;
  readonly label: string;
  readonly hint: string;
}

const kinds: Readonly<
  Record<Kind, { readonly label: string; readonly hint: string; readonly fields: readonly ShelfField[] }>
> = {
  oil: {
    label: 'An oil',
    hint: '30 wt',
    fields: [{ key: 'oil_cSt', label: 'Viscosity as printed, cSt at 25 °C', hint: '350' }],
  },
  piston: {
    label: 'A piston',
    hint: 'stock',
    fields: [
      { key: 'bore_mm', label: 'Bore of the body, mm', hint: '12,7' },
      { key: 'rod_mm', label: 'Diameter of the shaft, mm', hint: '3,5' },
      { key: 'holes', label: 'Number of holes', hint: '3' },
      { key: 'hole_mm', label: 'Diameter of a hole, mm', hint: '1,2' },
      { key: 'thickness_mm', label: 'Thickness, mm', hint: '2,5' },
    ],
  },
  seal: { label: 'A seal', hint: 'red, low friction', fields: [] },
  spring: {
    label: 'A spring',
    hint: 'soft',
    fields: [{ key: 'rate_N_per_mm', label: 'Rate, N/mm', hint: '0,21' }],
  },
  drill: { label: 'A drill', hint: '', fields: [{ key: 'drill_mm', label: 'Diameter, mm', hint: '1,55' }] },
};

/** Puts something on the shelf, or describes what is there by that name anew. */
export function ShelfForm() {
  const kind = useSignal<Kind>('oil');
  const typed = useSignal<Readonly<Record<string, string>>>({});
  const { hint, fields } = kinds[kind.value];
  const trouble = keepingTrouble.value;
  const at = (key: string) => (trouble?.where === `body.part.${key}` ? trouble : null);
  const put = async () => {
    const text = (key: string) => (typed.value[key] ?? '').trim();
    const numbers = fields.map(({ key }) => [key, numberOrText(text(key))] as const);
    const described = Object.fromEntries(numbers.filter(([, value]) => value !== ''));
    const name = kind.value === 'drill' ? `${described.drill_mm} mm` : text('name');
    if (await putOnShelf({ kind: kind.value, part: { name, ...described } })) typed.value = {};
  };
  return (
    <form
      class="shelf-form"
      aria-label="Put on the shelf"
      onSubmit={(event) => {
        event.preventDefault();
        void put();
      }}
    >
      <div class="fields">
        <ChoiceField
          label="What goes on the shelf"
          value={kind.value}
          choices={Object.entries(kinds).map(([name, { label }]) => [name as Kind, label])}
          onChange={(chosen) => (kind.value = chosen)}
        />
        {kind.value !== 'drill' && (
          <TextField
            label="Its name"
            hint={hint}
            value={typed.value.name ?? ''}
            trouble={at('name')}
            onInput={(value) => (typed.value = { ...typed.value, name: value })}
          />
        )}
        {fields.map(({ key, label, hint: example }) => (
          <TextField
            key={key}
            label={label}
            hint={example}
            isNumber
            value={typed.value[key] ?? ''}
            trouble={at(key)}
            onInput={(value) => (typed.value = { ...typed.value, [key]: value })}
          />
        ))}
      </div>
      <button type="submit" class="action">
        Put on the shelf
      </button>
    </form>
  );
}

/** A number where one was typed; other words go as they are, for the server to refuse them in its own. */
function numberOrText(text: string): number | string {
  const value = Number(typedNumber(text));
  return text !== '' && Number.isFinite(value) ? value : text;
}
