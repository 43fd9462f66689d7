import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { KnownSpread } from '../../analysis/index.js';
import { knownSpread } from '../answers/index.js';
import type { ApiError, SpreadsBody } from '../server/api.js';
import { fetchBody, troubleOf } from './api.js';
import { analyses, logbook } from './logbook.js';

/** What the rig's past says about remounts beside some recordings. */
export interface SpreadsBeside {
  /** For all that is compared and drawn of these recordings; undefined until it was told. */
  readonly known: ReadonlySignal<KnownSpread | undefined>;
  /** Whether it was told beside these very recordings. */
  readonly areHere: ReadonlySignal<boolean>;
  readonly trouble: ReadonlySignal<ApiError | null>;
  /**
   * Asks for the spreads, to be called in an effect: anew with every other selection, and with every other state of the
   * logbook, which may have learnt meanwhile.
   * @returns calls it off
   */
  need(): (() => void) | undefined;
  /** Asks again after a failure. */
  retry(): void;
}

/** @param recordings ids; those that could not be analysed do not count among them */
export function spreadsBeside(recordings: ReadonlySignal<readonly number[]>): SpreadsBeside {
  const question = computed(() =>
    recordings.value
      .filter((id) => analyses.value.get(id)?.ok !== false)
      .map((id) => `recordings=${id}`)
      .join('&'),
  );
  /** The last answer, kept until that to another question is there; null before the first. */
  const told = signal<SpreadsBody['spreads'] | null>(null);
  const answered = signal<string | null>(null);
  const trouble = signal<ApiError | null>(null);

  async function ask(asked: string, wanted?: AbortSignal): Promise<void> {
    try {
      const { spreads } = await fetchBody<SpreadsBody>(`/api/spreads?${asked}`, wanted);
      // All that is compared and drawn follows from it anew: only where it is another.
      if (JSON.stringify(spreads) !== JSON.stringify(told.value)) told.value = spreads;
      answered.value = asked;
      trouble.value = null;
    } catch (thrown) {
      const found = troubleOf(thrown);
      if (!found) return;
      trouble.value = found;
      // Nothing is compared by what was told beside another selection.
      if (answered.value !== asked) told.value = null;
    }
  }

  return {
    known: computed(() => (told.value === null ? undefined : knownSpread(told.value))),
    areHere: computed(() => question.value === '' || answered.value === question.value),
    trouble,
    need() {
      const asked = question.value;
      if (logbook.value === null || asked === '') return undefined;
      const wanted = new AbortController();
      void ask(asked, wanted.signal);
      return () => wanted.abort();
    },
    retry: () => void ask(question.value),
  };
}
