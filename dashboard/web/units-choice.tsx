import { ChoiceField } from './pieces/choice-field.js';
import { unitChoices } from './unit-choices.js';
import { chooseUnits, displayUnits, unitChoice } from './units.js';

/** The units that numbers are shown in, on every place. */
export function UnitsChoice() {
  return (
    <div class="units-choice">
      <ChoiceField
        label="Units"
        value={unitChoice.value}
        choices={unitChoices.map((choice) => {
          const { force, length } = displayUnits(choice);
          return [choice, `${force}, ${length}`];
        })}
        onChange={chooseUnits}
      />
    </div>
  );
}
