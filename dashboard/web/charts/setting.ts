import { computed } from '@preact/signals';
import { type DisplayScale, type DisplayUnits, displayScale } from '../../wording/index.js';
import { narrow, type Theme, theme } from '../theme.js';
import { units } from '../units.js';

/** What every picture is drawn with beside its numbers. */
export interface Setting {
  readonly theme: Theme;
  /** A phone: less text, since what is beside the picture says it. */
  readonly isNarrow: boolean;
  readonly units: DisplayUnits;
}

/** As the page is now; the same object until one of its parts changes. */
export const setting = computed<Setting>(() => ({
  theme: theme.value,
  isNarrow: narrow.value,
  units: units.value,
}));

/** Units of the axes, with the factor from SI. */
export interface Scales {
  readonly force: DisplayScale;
  readonly velocity: DisplayScale;
  readonly length: DisplayScale;
}

export const scalesOf = (units: DisplayUnits): Scales => ({
  force: displayScale('force', units),
  velocity: displayScale('velocity', units),
  length: displayScale('length', units),
});
