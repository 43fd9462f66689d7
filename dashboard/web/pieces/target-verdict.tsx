import type { TargetJudgement } from '../../../analysis/index.js';

type TargetVerdictName = TargetJudgement['verdict'];

/** A ring that is filled, open with a cross, or open: told apart without colour. */
const shapes: Readonly<Record<TargetVerdictName, string>> = {
  within: 'M2 7.5l3.5 3.5L12 3.5',
  outside: 'M3 3l8 8M11 3l-8 8',
  undecided: 'M4 7h1M6.5 7h1M9 7h1',
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
