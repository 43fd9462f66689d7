import type { RecordingAnalysis } from '../../../analysis/index.js';
import { resolvesAnswer } from '../../answers/index.js';
import type { ApiBuild, AskedSeries } from '../../server/api.js';
import { type DisplayUnits, resolvesSentences } from '../../wording/index.js';
import type { Address } from '../address.js';

/** What comes after a recording of a series. */
export type NextInSeries =
  | { readonly kind: 'remount'; readonly remount: number; readonly of: number }
  /** The change itself is still to be made, and the shock measured after it. */
  | { readonly kind: 'change' }
  | { readonly kind: 'answer'; readonly label: string; readonly to: Partial<Address> }
  /** The answer is these sentences. */
  | { readonly kind: 'rig'; readonly sentences: readonly string[] };

/** A series as it stands with a recording that is about to be kept. */
export interface Series {
  /** The one that is about to be kept. */
  readonly recordingId: number;
  readonly build: Pick<ApiBuild, 'id' | 'name' | 'parentId'>;
  /** Of the recordings that count. */
  readonly complete: ReadonlySet<number>;
  /** The build that it is held against, as far as there is one with recordings. */
  readonly counterpart: Pick<ApiBuild, 'id' | 'parentId'> | null;
  /** Null where nobody said what it is for: then together with others. */
  readonly asked: AskedSeries | null;
  /** Of the recordings that count, those that are there. */
  readonly analyses: readonly RecordingAnalysis[];
  /** Of the sentences; metric where nothing is said. */
  readonly units?: DisplayUnits;
}

/** What comes next: another remount, the change itself, or the place where the answer is, with the builds chosen. */
export function nextInSeries(series: Series): NextInSeries {
  const { recordingId, build, complete, counterpart, asked } = series;
  const remounts = asked?.remounts ?? 1;
  if (complete.size < remounts) return { kind: 'remount', remount: complete.size + 1, of: remounts };
  switch (asked?.question) {
    case 'change':
      return counterpart
        ? {
            kind: 'answer',
            label: 'see what changed',
            to: { place: 'together', builds: orderOf(counterpart, build) },
          }
        : { kind: 'change' };
    case 'match':
    case 'oil':
      return {
        kind: 'answer',
        label: asked.question === 'oil' ? 'see which oil' : 'see whether it matches',
        to: { place: 'next', question: asked.question, have: build.id, target: counterpart?.id ?? null },
      };
    case 'spring':
    case 'travel':
      return {
        kind: 'answer',
        label: asked.question === 'spring' ? 'see which spring' : 'see its travel',
        to: {
          place: 'next',
          question: asked.question,
          typed: { [asked.question === 'spring' ? 'pull' : 'sweep']: String(recordingId) },
        },
      };
    case 'rig':
      return { kind: 'rig', sentences: rigSentences(series) };
    default:
      return {
        kind: 'answer',
        label: 'see it',
        to: { place: 'together', builds: counterpart ? orderOf(counterpart, build) : [build.id] },
      };
  }
}

/** What a build was made from is the reference. */
const orderOf = (counterpart: NonNullable<Series['counterpart']>, build: Series['build']): number[] =>
  counterpart.parentId === build.id ? [build.id, counterpart.id] : [counterpart.id, build.id];

function rigSentences({ build: { name }, analyses, units }: Series): string[] {
  return analyses.length < 2
    ? []
    : resolvesSentences(
        resolvesAnswer({ builds: [{ name, analyses }], expected: { drag_N: 1, damping_N: 1 } }),
        units,
      );
}
