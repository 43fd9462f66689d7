import type { ApiError } from '../../server/api.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { NumberField } from '../pieces/number-field.js';
import { type, typed } from './typed.js';
import type { TypedName } from './typed-names.js';
import { troubleAt } from './use-answer.js';

/** A number field that the address keeps. @param props.usual what counts while nothing is typed */
export function TypedField(props: {
  readonly name: TypedName;
  readonly label: string;
  readonly unit: string;
  readonly hint?: string;
  readonly usual?: string;
  readonly trouble: ApiError | null;
}) {
  const { name, label, unit, hint, usual = '', trouble } = props;
  return (
    <NumberField
      label={label}
      unit={unit}
      {...(hint && { hint })}
      value={typed(name) || usual}
      trouble={troubleAt(trouble, name)}
      onChange={(text) => type({ [name]: text })}
    />
  );
}

/** Units that springs are sold by. */
const rateUnits = ['N/mm', 'lbf/in', 'gf/mm'] as const;

export const rateUnit = (): string => typed('rate_unit') || rateUnits[0];

/** The unit that all rates of a question are typed in. */
export function RateUnitField() {
  return (
    <ChoiceField
      label="Rates are typed in"
      value={rateUnit()}
      choices={rateUnits.map((unit) => [unit, unit])}
      onChange={(unit) => type({ rate_unit: unit === rateUnits[0] ? '' : unit })}
    />
  );
}
