import type { ComponentChildren } from 'preact';

/** Something noticed about a recording, as an entry of a list; a warning says so in a word before anything else. */
export function FindingItem(props: { readonly isWarning: boolean; readonly children: ComponentChildren }) {
  return (
    <li class={props.isWarning ? 'warning' : ''}>
      {props.isWarning && <strong>Look: </strong>}
      {props.children}
    </li>
  );
}
