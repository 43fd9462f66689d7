import { useId, useState } from 'preact/hooks';
import type { ApiError } from '../../server/api.js';
import { FieldTrouble } from './trouble.js';

/**
 * A field for one number, decimal comma accepted, with its unit in the label and its trouble beside it. What is being
 * typed is its own until it is done: a page that is drawn anew meanwhile would put the old value back.
 */
export function NumberField(props: {
  readonly label: string;
  readonly unit: string;
  readonly value: string;
  readonly hint?: string;
  /** Characters that fit; more than a number's where several are wanted. */
  readonly length?: number;
  readonly trouble: ApiError | null;
  readonly onChange: (value: string) => void;
}) {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const { label, unit, hint, trouble } = props;
  return (
    <div class="field number-field">
      <label for={id}>
        <span>
          {label}
          {unit && `, ${unit}`}
        </span>
      </label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        maxLength={props.length ?? 12}
        value={typed ?? props.value}
        aria-invalid={trouble !== null}
        aria-describedby={hint || trouble ? `${id}-about` : undefined}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onChange={(event) => props.onChange(event.currentTarget.value.trim())}
        onBlur={() => setTyped(null)}
      />
      {hint && !trouble && (
        <p id={`${id}-about`} class="note">
          {hint}
        </p>
      )}
      {trouble && <FieldTrouble id={`${id}-about`} trouble={trouble} />}
    </div>
  );
}

/** A number as people type it, for a query: a decimal comma becomes a point, and the server judges the rest. */
export const typedNumber = (text: string): string => text.trim().replace(',', '.');
