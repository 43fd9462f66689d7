import type { TargetJudgement } from '../../../analysis/index.js';

type TargetVerdictName = TargetJudgement['verdict'];

/** A tick, a cross and an open ring: told apart without colour. */
const shapes: Readonly<Record<TargetVerdictName, string>> = {
  within: 'M2 7.5l3.5 3.5L12 3.5',
  outside: 'M3 3l8 8M11 3l-8 8',
  undecided: 'M7 2.5a4.5 4.5 0 1 0 .01 0z',
};

/** A verdict on a target: its word, with a shape beside it. */
export function TargetVerdict({ verdict }: { readonly verdict: TargetVerdictName }) {
  return (
    <span class={`verdict target-${verdict}`}>
      <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
        <path d={shapes[verdict]} />
      </svg>
      {verdict}
    </span>
  );
}
