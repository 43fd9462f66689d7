import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { inTurn, watchView } from '../in-turn.js';

/**
 * Part of a page that is brought up to date at once where it is in view, and else in its turn. What it shows has to come
 * in its children's properties, or it would follow by itself.
 */
export function InTurn({ children }: { readonly children: ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  const [shown, show] = useState(children);
  useLayoutEffect(() => watchView(place.current!), []);
  useLayoutEffect(() => inTurn(place.current!, () => show(children)), [children]);
  return (
    <div ref={place} class="in-turn">
      {shown}
    </div>
  );
}
