import { useSignal } from '@preact/signals';
import { overlayKinds } from '../../answers/index.js';
import type { ApiError } from '../../server/api.js';
import { displayScale, formatChosen, overlayName, sentenceCase } from '../../wording/index.js';
import { look } from '../address.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { NumberField } from '../pieces/number-field.js';
import { typedNumbers } from '../pieces/typed-numbers.js';
import { units } from '../units.js';
import { view } from './selection.js';
import { sides, type View } from './view.js';

/** How the pictures are drawn: which force, which direction and speeds, at which temperature. */
export function ViewOptions() {
  const { kind, side, slowest_mm_per_s, fastest_mm_per_s, at_degC } = view.value;
  const { unit, factor } = displayScale('velocity', units.value);
  const mm_per_s = 1000 / factor;
  return (
    <form class="view-options" aria-label="How it is drawn" onSubmit={(event) => event.preventDefault()}>
      <ChoiceField
        label="Force"
        value={kind}
        choices={overlayKinds.map((name) => [name, overlayName(name)])}
        onChange={(chosen) => look({ kind: chosen })}
      />
      <ChoiceField
        label="Direction"
        value={side}
        choices={sides.map((name) => [name, sentenceCase(name)])}
        onChange={(chosen) => look({ side: chosen })}
      />
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
    </form>
  );
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
