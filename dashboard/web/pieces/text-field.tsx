import { useId } from 'preact/hooks';
import type { ApiError } from '../../server/api.js';
import { FieldTrouble } from './trouble.js';

/** A field for some words, perhaps with choices to pick from, its trouble beside it. */
export function TextField(props: {
  readonly label: string;
  readonly value: string;
  readonly hint?: string;
  readonly choices?: readonly string[];
  readonly isNumber?: boolean;
  readonly isRequired?: boolean;
  readonly length?: number;
  readonly trouble?: ApiError | null;
  readonly onInput: (value: string) => void;
}) {
  const id = useId();
  const { label, hint, choices = [], isNumber = false, isRequired = false, trouble = null } = props;
  return (
    <div class="field text-field">
      <label for={id}>
        <span>{label}</span>
      </label>
      <input
        id={id}
        type="text"
        inputMode={isNumber ? 'decimal' : 'text'}
        autoComplete="off"
        required={isRequired}
        maxLength={props.length ?? 80}
        placeholder={hint ? `such as: ${hint}` : undefined}
        list={choices.length > 0 ? `${id}-choices` : undefined}
        value={props.value}
        aria-invalid={trouble !== null}
        aria-describedby={trouble ? `${id}-about` : undefined}
        onInput={(event) => props.onInput(event.currentTarget.value)}
      />
      {choices.length > 0 && (
        <datalist id={`${id}-choices`}>
          {choices.map((choice) => (
            <option key={choice} value={choice} />
          ))}
        </datalist>
      )}
      {trouble && <FieldTrouble id={`${id}-about`} trouble={trouble} />}
    </div>
  );
}

/** Several lines of words. */
export function NoteField(props: {
  readonly label: string;
  readonly value: string;
  readonly onInput: (value: string) => void;
}) {
  return (
    <label class="field wide">
      <span>{props.label}</span>
      <textarea
        rows={3}
        maxLength={4000}
        value={props.value}
        onInput={(event) => props.onInput(event.currentTarget.value)}
      />
    </label>
  );
}
