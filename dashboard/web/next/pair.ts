import { computed } from '@preact/signals';
import { address } from '../address.js';
import { chosenIds, recordedBuilds } from '../together/selection.js';

/** The build that a question about one is about: that of the address, or else the newest recorded; null without any. */
export const oneBuild = computed<number | null>(() => {
  const recorded = recordedBuilds.value.map(({ id }) => id);
  return recorded.find((id) => id === address.value.have) ?? recorded.at(-1) ?? null;
});

/** The build a question is about and the one it is held against. */
export interface Pair {
  readonly have: number;
  readonly target: number;
}

/**
 * The pair of the address; what it leaves open is the newest chosen build against the reference, as it was seen over
 * each other. Null until two builds have recordings.
 */
export const pair = computed<Pair | null>(() => {
  const recorded = recordedBuilds.value.map(({ id }) => id);
  const isKnown = (id: number | null | undefined) => id != null && recorded.includes(id);
  const first = (wanted: readonly (number | null | undefined)[], not: number | null): number | null =>
    wanted.find((id) => isKnown(id) && id !== not) ?? null;
  const { have: askedHave, target: askedTarget } = address.value;
  const target = first([askedTarget, chosenIds.value[0], ...recorded], isKnown(askedHave) ? askedHave : null);
  const have = first([askedHave, chosenIds.value.at(-1), ...recorded.toReversed()], target);
  return have === null || target === null ? null : { have, target };
});
