import type { ComponentChildren } from 'preact';

/** A field for one of some choices. */
export function ChoiceField<Choice extends string | number>(props: {
  readonly label: string;
  readonly value: Choice;
  readonly choices: readonly (readonly [value: Choice, words: string])[];
  readonly isDisabled?: boolean;
  /** What stands below it. */
  readonly children?: ComponentChildren;
  readonly onChange: (value: Choice) => void;
}) {
  const { label, value, choices, isDisabled = false, children, onChange } = props;
  return (
    <label class="field">
      <span>{label}</span>
      <select
        value={value}
        disabled={isDisabled}
        onChange={(event) => onChange(choices[event.currentTarget.selectedIndex]![0])}
      >
        {choices.map(([choice, words]) => (
          <option key={choice} value={choice}>
            {words}
          </option>
        ))}
      </select>
      {children}
    </label>
  );
}
