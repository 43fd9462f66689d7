import { computed, signal } from '@preact/signals';
import { type DisplayUnits, metric } from '../wording/index.js';
import { address, go } from './address.js';
import { type UnitChoice, unitChoices } from './unit-choices.js';

const KEY = 'dashpot-bench units';
const kept = signal<UnitChoice>(readKept());

/** A bookmark's units, or else what this browser was last told. */
export const unitChoice = computed<UnitChoice>(() => address.value.units ?? kept.value);

export const units = computed<DisplayUnits>(() => displayUnits(unitChoice.value));

/** Keeps the choice in this browser and in the address. */
export function chooseUnits(choice: UnitChoice): void {
  kept.value = choice;
  try {
    localStorage.setItem(KEY, choice);
  } catch {
    // A browser that keeps nothing shows them until it is closed.
  }
  go({ units: choice === unitChoices[0] ? null : choice }, 'replace');
}

export function displayUnits(choice: UnitChoice): DisplayUnits {
  const [force, length] = choice.split('-') as [DisplayUnits['force'], DisplayUnits['length']];
  return choice === unitChoices[0] ? metric : { force, length };
}

function readKept(): UnitChoice {
  try {
    const text = localStorage.getItem(KEY);
    return unitChoices.find((choice) => choice === text) ?? unitChoices[0];
  } catch {
    return unitChoices[0];
  }
}
