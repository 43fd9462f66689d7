import type { RefObject } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';

/** Puts the keyboard back on the button that opened something, once that is closed. */
export function useOpener(isOpen: boolean): RefObject<HTMLButtonElement | null> {
  const button = useRef<HTMLButtonElement>(null);
  const wasOpen = useRef(isOpen);
  useLayoutEffect(() => {
    if (wasOpen.current && !isOpen) button.current?.focus();
    wasOpen.current = isOpen;
  }, [isOpen]);
  return button;
}

/** Puts the keyboard on the first control of a form that was opened, and on the first field that was refused. */
export function useFormFocus(trouble: unknown, isOpen = true): RefObject<HTMLFormElement | null> {
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => {
    const refused = form.current?.querySelector<HTMLElement>('[aria-invalid="true"]');
    if (refused) refused.focus();
    else if (!form.current?.contains(document.activeElement))
      form.current?.querySelector<HTMLElement>('button, input, textarea')?.focus();
  }, [trouble, isOpen]);
  return form;
}
