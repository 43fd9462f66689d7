import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { ApiError } from '../../server/api.js';
import { postBody, troubleOf } from '../api.js';
import { Trouble } from '../pieces/trouble.js';

/** Stop, by button and by Escape, from the first word to the rig on; beside it how far things are. */
export function StopRow(props: { readonly isStopping?: boolean; readonly children: ComponentChildren }) {
  const isAsked = useSignal(false);
  const trouble = useSignal<ApiError | null>(null);
  const stop = async () => {
    isAsked.value = true;
    try {
      await postBody('/api/recordings/current/stop');
    } catch (thrown) {
      isAsked.value = false;
      trouble.value = troubleOf(thrown);
    }
  };
  // Whoever started it with the keyboard has stop under the fingers.
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    button.current?.focus({ preventScroll: true });
    const onKey = (event: KeyboardEvent) => {
      if (event.key === 'Escape') void stop();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);
  const isStopping = props.isStopping || isAsked.value;
  return (
    <>
      <div class="stop-row">
        <button type="button" class="stop" ref={button} onClick={stop} disabled={isStopping}>
          {isStopping ? 'Stopping …' : 'Stop'}
        </button>
        <span class="key" aria-hidden="true">
          or <kbd>Esc</kbd>
        </span>
        {props.children}
      </div>
      {trouble.value && <Trouble error={trouble.value} />}
    </>
  );
}
