import type { TermName } from './columns.js';
import type { ShapeName } from './problem.js';

/** Which columns [terms | shapes | force] some rows have; the others are 0 in all of them. */
export interface Live {
  /** Which way friction slides in all of the rows, far from any reversal; 0 where it need not. */
  readonly way: -1 | 0 | 1;
  /** Numbers of the columns, ascending. */
  readonly columns: readonly number[];
}

/** Of the seal's state alone, which does not change in sliding. */
const ofSeal: readonly ShapeName[] = ['presliding', 'excess', 'stribeck', 'start'];

/**
 * The columns that are not 0 where friction slides one way.
 * @param sums where given, rows have sums of terms, all of them, in place of terms and derivatives
 */
export function liveColumns(
  way: -1 | 0 | 1,
  terms: readonly TermName[],
  shapes: readonly ShapeName[],
  sums: readonly unknown[] | null,
): Live {
  const live = terms.map((term) => way === 0 || wayOf(term) === 0 || wayOf(term) === way);
  const parts = sums
    ? sums.map(() => true)
    : [...live, ...shapes.map((name) => way === 0 || !ofSeal.includes(name))];
  const columns = [...parts, true].flatMap((is, j) => (is ? [j] : []));
  return { way, columns };
}

/** The direction that a term acts in alone, 0 for both. */
const wayOf = (term: TermName): -1 | 0 | 1 =>
  term.endsWith('Rebound') ? -1 : term.endsWith('Compression') || term.startsWith('ceiling') ? 1 : 0;
