import { type Signal, useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import type { ApiError } from '../../server/api.js';
import { postBody, troubleOf } from '../api.js';
import { useFormFocus, useOpener } from '../pieces/keep-focus.js';

/** Something that is said anew where it stands: behind a button, in a form of its own. */
export interface Edited<Value> {
  /** As typed so far; null while nothing is being said. */
  readonly edited: Signal<Value | null>;
  readonly trouble: ApiError | null;
  readonly opener: RefObject<HTMLButtonElement | null>;
  readonly form: RefObject<HTMLFormElement | null>;
  readonly send: (event: Event) => void;
}

/** @param bodyOf what is posted to the path */
export function useEdited<Value>(path: string, bodyOf: (value: Value) => unknown): Edited<Value> {
  const edited = useSignal<Value | null>(null);
  const trouble = useSignal<ApiError | null>(null);
  const isOpen = edited.value !== null;
  const opener = useOpener(isOpen);
  const form = useFormFocus(trouble.value, isOpen);
  const post = async () => {
    try {
      trouble.value = null;
      await postBody(path, bodyOf(edited.value!));
      edited.value = null;
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
  const send = (event: Event) => {
    event.preventDefault();
    void post();
  };
  return { edited, trouble: trouble.value, opener, form, send };
}
