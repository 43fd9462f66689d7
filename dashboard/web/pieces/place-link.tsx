import type { ComponentChildren } from 'preact';
import { type Address, address, go, linkTo } from '../address.js';

/** A link within the page: an ordinary link for the browser, a change of address for the page. */
export function PlaceLink(props: {
  readonly to: Partial<Address>;
  readonly class?: string;
  readonly current?: boolean;
  readonly children: ComponentChildren;
}) {
  const target = { ...address.value, ...props.to };
  return (
    <a
      href={linkTo(target)}
      class={props.class}
      aria-current={props.current ? 'page' : undefined}
      onClick={(event: MouseEvent) => {
        if (event.metaKey || event.ctrlKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        go(props.to);
      }}
    >
      {props.children}
    </a>
  );
}
