import { useSignal } from '@preact/signals';
import type { OverlayKind } from '../../answers/index.js';
import type { ApiError } from '../../server/api.js';
import { displayScale, formatChosen, overlayName } from '../../wording/index.js';
import { look } from '../address.js';
import { NumberField } from '../pieces/number-field.js';
import { typedNumbers } from '../pieces/typed-numbers.js';
import { type UnitChoice, unitChoices } from '../unit-choices.js';
import { chooseUnits, displayUnits, unitChoice, units } from '../units.js';
import { view } from './selection.js';
import type { Side, View } from './view.js';

const kinds: readonly OverlayKind[] = ['total', 'damping', 'drag'];
const sideNames: Readonly<Record<Side, string>> = {
  both: 'Both',
  compression: 'Compression',
  rebound: 'Rebound',
};

/** How the pictures are drawn: which force, which direction and speeds, at which temperature, in which units. */
export function ViewOptions() {
  const { kind, side, slowest_mm_per_s, fastest_mm_per_s, at_degC } = view.value;
  const { unit, factor } = displayScale('velocity', units.value);
  const mm_per_s = 1 / (factor / 1000);
  return (
    <form class="view-options" aria-label="How it is drawn" onSubmit={(event) => event.preventDefault()}>
      <label class="field">
        <span>Force</span>
        <select value={kind} onChange={(event) => look({ kind: event.currentTarget.value as OverlayKind })}>
          {kinds.map((name) => (
            <option key={name} value={name}>
              {overlayName(name)}
            </option>
          ))}
        </select>
      </label>
      <label class="field">
        <span>Direction</span>
        <select value={side} onChange={(event) => look({ side: event.currentTarget.value as Side })}>
          {Object.entries(sideNames).map(([name, text]) => (
            <option key={name} value={name}>
              {text}
            </option>
          ))}
        </select>
      </label>
      <Limit
        label="Speeds from"
        unit={unit}
        scale={mm_per_s}
        value={slowest_mm_per_s}
        name="slowest_mm_per_s"
      />
      <Limit
        label="Speeds to"
        unit={unit}
        scale={mm_per_s}
        value={fastest_mm_per_s}
        name="fastest_mm_per_s"
      />
      <Limit label="Damping at" unit="°C" scale={1} value={at_degC} name="at_degC" />
      <label class="field">
        <span>Units</span>
        <select
          value={unitChoice.value}
          onChange={(event) => chooseUnits(event.currentTarget.value as UnitChoice)}
        >
          {unitChoices.map((choice) => (
            <option key={choice} value={choice}>
              {unitsText(choice)}
            </option>
          ))}
        </select>
      </label>
    </form>
  );
}

function unitsText(choice: UnitChoice): string {
  const { force, length } = displayUnits(choice);
  return `${force}, ${length}`;
}

/** A bound that may stay empty. */
function Limit(props: {
  readonly label: string;
  readonly unit: string;
  /** From what is typed to what the address keeps. */
  readonly scale: number;
  readonly value: number | null;
  readonly name: keyof View & ('slowest_mm_per_s' | 'fastest_mm_per_s' | 'at_degC');
}) {
  const { label, unit, scale, value, name } = props;
  const refused = useSignal<string | null>(null);
  const trouble: ApiError | null =
    refused.value === null
      ? null
      : { code: 'bad-number', found: `“${refused.value}”`, wanted: 'a number, or nothing', where: label };
  return (
    <NumberField
      label={label}
      unit={unit}
      value={refused.value ?? (value === null ? '' : formatChosen(value / scale, 4))}
      trouble={trouble}
      onChange={(text) => {
        const numbers = typedNumbers(text);
        const [typed = null] = numbers ?? [];
        const isGood =
          numbers !== null && numbers.length < 2 && (typed === null || name === 'at_degC' || typed >= 0);
        refused.value = isGood ? null : text;
        if (isGood) look({ [name]: typed === null ? null : Number((typed * scale).toPrecision(6)) });
      }}
    />
  );
}
