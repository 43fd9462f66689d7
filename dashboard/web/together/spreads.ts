import { computed, signal } from '@preact/signals';
import { knownSpread } from '../../answers/index.js';
import type { ApiError, SpreadsBody } from '../../server/api.js';
import { fetchBody, troubleOf } from '../api.js';
import { analyses, logbook } from '../logbook.js';
import { wantedRecordings } from './selection.js';

/** The question for the spreads beside the selection; those that could not be analysed do not count in it. */
const question = computed(() =>
  wantedRecordings.value
    .filter((id) => analyses.value.get(id)?.ok !== false)
    .map((id) => `recordings=${id}`)
    .join('&'),
);

/** The last answer, kept until that to another question is there; null before the first. */
const told = signal<SpreadsBody['spreads'] | null>(null);
const answered = signal<string | null>(null);
export const spreadsTrouble = signal<ApiError | null>(null);

/** What the rig's past says about remounts, for all that is compared and drawn here; undefined until it was told. */
export const known = computed(() => (told.value === null ? undefined : knownSpread(told.value)));

/** Whether it was told beside this very selection. */
export const areSpreadsHere = computed(() => question.value === '' || answered.value === question.value);

/**
 * Asks for the spreads beside the selection, to be called in an effect: anew with every other selection, and with every
 * other state of the logbook, which may have learnt meanwhile.
 * @returns calls it off
 */
export function needSpreads(): (() => void) | undefined {
  const asked = question.value;
  if (logbook.value === null || asked === '') return undefined;
  const wanted = new AbortController();
  void fetchSpreads(asked, wanted.signal);
  return () => wanted.abort();
}

/** Asks again after a failure. */
export function retrySpreads(): void {
  void fetchSpreads(question.value);
}

async function fetchSpreads(asked: string, wanted?: AbortSignal): Promise<void> {
  try {
    const { spreads } = await fetchBody<SpreadsBody>(`/api/spreads?${asked}`, wanted);
    // All that is compared and drawn follows from it anew: only where it is another.
    if (JSON.stringify(spreads) !== JSON.stringify(told.value)) told.value = spreads;
    answered.value = asked;
    spreadsTrouble.value = null;
  } catch (thrown) {
    const trouble = troubleOf(thrown);
    if (!trouble) return;
    spreadsTrouble.value = trouble;
    // Nothing is compared by what was told beside another selection.
    if (answered.value !== asked) told.value = null;
  }
}
