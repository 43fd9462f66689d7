import type { ProcedureName } from '../../analysis/index.js';

/** A recording as far as it matters for whether it counts: as the logbook has it, or as the server tells of it. */
export interface Countable {
  readonly buildId: number;
  readonly remount: number;
  readonly state: string;
  readonly procedure: string | { readonly name: string };
}

/** Strokes that tell a spring, a stop, a lag or nothing: they are no remount of a shock. */
const besideTheDamper = new Set<string>([
  'warm-up',
  'spring-pull',
  'travel-sweep',
  'lag-check',
] satisfies ProcedureName[]);

/** Whether strokes tell what a shock's seal and damping do. */
export const tellsDamper = (procedure: string): boolean => !besideTheDamper.has(procedure);

const counts = ({ state, procedure }: Countable): boolean =>
  state === 'complete' && tellsDamper(typeof procedure === 'string' ? procedure : procedure.name);

/**
 * The recordings that speak for their builds: of each remount the latest that ran to its end and tells what the shock
 * does. One mounting recorded twice is one remount: counted as two it would make a difference look surer than it is.
 * @param recordings of one build or of several, the earliest first
 * @returns by build, then by remount
 */
export function countedRemounts<Recording extends Countable>(recordings: readonly Recording[]): Recording[] {
  const latest = new Map<string, Recording>();
  for (const recording of recordings.filter(counts))
    latest.set(`${recording.buildId} ${recording.remount}`, recording);
  return [...latest.values()].sort((a, b) => a.buildId - b.buildId || a.remount - b.remount);
}

/**
 * The analyses that speak for a build: of its counted remounts those that could be analysed. One that could not is left
 * out and does not hold up the others.
 * @param outcomes one a counted remount; undefined while it is on its way
 * @returns null until all are known, and where none could be analysed
 */
export function analysedRemounts<Outcome extends { readonly ok: boolean }>(
  outcomes: readonly (Outcome | undefined)[],
): Extract<Outcome, { readonly ok: true }>[] | null {
  if (outcomes.includes(undefined)) return null;
  const analysed = outcomes.filter((outcome): outcome is Extract<Outcome, { ok: true }> => outcome!.ok);
  return analysed.length > 0 ? analysed : null;
}
