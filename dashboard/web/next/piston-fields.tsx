import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ApiError, ShelfBody } from '../../server/api.js';
import { fetchBody } from '../api.js';
import { NumberField } from '../pieces/number-field.js';
import { typed, type as typeIn } from './typed.js';
import { pistonNames } from './typed-names.js';
import { troubleAt } from './use-answer.js';

type PistonFieldName = (typeof pistonNames)[number];

const fields = [
  { name: 'bore_mm', label: 'Bore of the body', unit: 'mm', hint: '' },
  { name: 'rod_mm', label: 'Diameter of the shaft', unit: 'mm', hint: '' },
  { name: 'thickness_mm', label: 'Thickness of the piston', unit: 'mm', hint: '' },
  { name: 'holes', label: 'Number of holes', unit: '', hint: '' },
  { name: 'hole_mm', label: 'Diameter of a hole', unit: 'mm', hint: '' },
  {
    name: 'gap_mm',
    label: 'Gap to the body',
    unit: 'mm',
    hint: 'May stay empty: it is judged from the curve.',
  },
  {
    name: 'oil_cSt',
    label: 'Oil in it now',
    unit: 'cSt at 25 °C',
    hint: 'Empty: what the logbook says about the build.',
  },
] as const satisfies readonly {
  readonly name: PistonFieldName;
  readonly label: string;
  readonly unit: string;
  readonly hint: string;
}[];

const optional: readonly PistonFieldName[] = ['gap_mm', 'oil_cSt'];

/** Whether everything is typed that a plan needs. */
export const isPistonTyped = (): boolean =>
  pistonNames.every((name) => optional.includes(name) || typed(name) !== '');

/** The piston by calipers, or one of the shelf. */
export function PistonFields({ trouble }: { readonly trouble: ApiError | null }) {
  const pistons = useSignal<ShelfBody['pistons']>([]);
  useEffect(() => {
    // Without a shelf every field can still be typed.
    fetchBody<ShelfBody>('/api/shelf').then(
      (shelf) => (pistons.value = shelf.pistons.filter(({ more_holes = [] }) => more_holes.length === 0)),
      () => {},
    );
  }, []);
  return (
    <fieldset>
      <legend>The piston now</legend>
      <div class="fields">
        {pistons.value.length > 0 && (
          <label class="field">
            <span>From the shelf</span>
            <select onChange={(event) => take(pistons.value[Number(event.currentTarget.value)])}>
              <option value="-1">Measured here</option>
              {pistons.value.map(({ name }, index) => (
                <option key={index} value={index}>
                  {name ?? `piston ${index + 1}`}
                </option>
              ))}
            </select>
          </label>
        )}
        {fields.map(({ name, label, unit, hint }) => (
          <NumberField
            key={name}
            label={label}
            unit={unit}
            {...(hint && { hint })}
            value={typed(name)}
            trouble={troubleAt(trouble, name)}
            onChange={(text) => typeIn({ [name]: text })}
          />
        ))}
      </div>
    </fieldset>
  );

  function take(entry: ShelfBody['pistons'][number] | undefined): void {
    if (!entry) return;
    typeIn(
      Object.fromEntries(
        fields.map(({ name }) => [name, entry[name] === undefined ? '' : String(entry[name])]),
      ),
    );
  }
}
