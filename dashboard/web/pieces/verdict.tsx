import type { DifferenceVerdict } from '../../../analysis/index.js';
import { verdictWords } from '../../wording/index.js';

const shapes: Readonly<Record<DifferenceVerdict, string>> = {
  lower: 'M2 4h10L7 12z',
  higher: 'M2 11h10L7 3z',
  'not-resolved': 'M2 6.5h10M2 9.5h10',
};

/** A verdict: its word first, a shape beside it, colour last. */
export function Verdict({ verdict }: { readonly verdict: DifferenceVerdict }) {
  return (
    <span class={`verdict ${verdict}`}>
      <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
        <path d={shapes[verdict]} />
      </svg>
      {verdictWords(verdict)}
    </span>
  );
}
