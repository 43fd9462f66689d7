import type { TermName } from './columns.js';
import type { ShapeName } from './problem.js';
import { sealDerivatives } from './seal-memory.js';

/** Which columns some rows have; the others are 0 in all of them. */
export interface Live {
  /** The direction in which friction slides in all of the rows, far from any reversal: 1 compression; 0 for any. */
  readonly direction: -1 | 0 | 1;
  /** Numbers of the columns, ascending. */
  readonly columns: readonly number[];
}

export const allLive = (columns: number): Live => ({
  direction: 0,
  columns: Array.from({ length: columns }, (_, j) => j),
});

/** The columns [terms | shapes | force] that are not 0 where friction slides in one direction, or any of them. */
export function liveColumns(
  direction: -1 | 0 | 1,
  terms: readonly TermName[],
  shapes: readonly ShapeName[],
): Live {
  if (direction === 0) return allLive(terms.length + shapes.length + 1);
  const live = [
    ...terms.map((term) => directionOf(term) === 0 || directionOf(term) === direction),
    // The seal's state does not change in sliding.
    ...shapes.map((name) => !(name in sealDerivatives)),
    true,
  ];
  return { direction, columns: live.flatMap((is, j) => (is ? [j] : [])) };
}

/** The direction that a term acts in alone, 0 for both. */
const directionOf = (term: TermName): -1 | 0 | 1 =>
  term.endsWith('Rebound') ? -1 : term.endsWith('Compression') || term.startsWith('ceiling') ? 1 : 0;
