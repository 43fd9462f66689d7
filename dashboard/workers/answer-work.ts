import { compareBuilds, type RecordingAnalysis } from '../../analysis/index.js';
import {
  knownSpread,
  type LearntSpread,
  type MoreRemountsAnswer,
  type MoreRemountsQuestion,
  moreRemountsAnswer,
  type NamedBuild,
  type OilEntry,
} from '../answers/index.js';
import type { SummaryKey } from '../tables/index.js';
import { corner } from './corner.js';
import { match, type Outcome, planHoles, planOil, shelfOils } from './next-step.js';
import { spring } from './spring.js';
import type { ReadTrace } from './traced.js';
import { travel } from './travel.js';

interface ComparedSides {
  readonly before: readonly RecordingAnalysis[];
  readonly after: readonly RecordingAnalysis[];
}

interface ComparedAsked {
  /** Of the rig that made all the recordings, from other builds. */
  readonly spreads: readonly LearntSpread[];
}

interface SummaryAsked {
  readonly by: SummaryKey;
  /** In the order of the analyses. */
  readonly recordings: readonly {
    readonly id: number;
    readonly buildName: string;
    readonly properties: Readonly<Record<string, unknown>>;
  }[];
}

interface RemountsAsked extends Omit<MoreRemountsQuestion, 'builds' | 'known'> {
  /** Of the rig that made the recordings in question, from other builds. */
  readonly spreads: readonly LearntSpread[];
}

/**
 * Everything that is worked out from analyses, by name: from the analyses of each side and what is asked about them, and
 * from recordings that are no damper's, which are read where the answer is worked out.
 */
export const answerWork = {
  compare: ({ before, after }: ComparedSides, { spreads }: ComparedAsked) =>
    compareBuilds(before, after, knownSpread(spreads)),
  match,
  'plan-oil': planOil,
  'plan-holes': planHoles,
  'shelf-oils': (_none: object, asked: { readonly oils: readonly OilEntry[] }) => shelfOils(asked.oils),
  spring,
  travel,
  corner,
  'more-remounts': (
    { builds }: { readonly builds: readonly NamedBuild[] },
    { spreads, ...asked }: RemountsAsked,
  ): Outcome<MoreRemountsAnswer> => {
    const known = knownSpread(spreads)('friction_N');
    const outcome = moreRemountsAnswer({ ...asked, builds, ...(known && { known }) });
    return outcome.ok ? outcome : { ...outcome, where: 'query.have' };
  },
  /** As CSV. */
  'comparison-table': async (
    { before, after }: ComparedSides,
    { spreads, ...names }: ComparedAsked & { readonly before: string; readonly after: string },
  ) => {
    const { comparisonTable, tableCsv } = await import('../tables/index.js');
    const comparison = compareBuilds(before, after, knownSpread(spreads));
    return tableCsv(comparisonTable([{ ...names, comparison }]));
  },
  /** As CSV. */
  'summary-table': async (
    { analyses }: { readonly analyses: readonly (RecordingAnalysis | null)[] },
    { by, recordings }: SummaryAsked,
  ) => {
    const { recordingRow, summarise, tableCsv } = await import('../tables/index.js');
    const rows = recordings.map((recording, index) =>
      recordingRow(recording, recording.properties, analyses[index] ?? null),
    );
    const { columns, rows: summary } = await summarise(rows, by);
    return tableCsv({ columns, rows: summary.map((row) => ({ ...row })) });
  },
};

type Work = typeof answerWork;
export type AnswerKind = keyof Work;
export type SidesOf<Kind extends AnswerKind> = Parameters<Work[Kind]>[0];
export type AskedOf<Kind extends AnswerKind> = Parameters<Work[Kind]>[1];
export type AnswerOf<Kind extends AnswerKind> = Awaited<ReturnType<Work[Kind]>>;

/** Works an answer out, here or elsewhere; ended by its signal. */
export type AnswerFunction = <Kind extends AnswerKind>(
  kind: Kind,
  sides: SidesOf<Kind>,
  asked: AskedOf<Kind>,
  signal?: AbortSignal,
) => Promise<AnswerOf<Kind>>;

/** Works answers out in the thread that asks. @param read reads a recording of the logbook */
export const answersHere =
  (read: ReadTrace): AnswerFunction =>
  async (kind, sides, asked) =>
    answerWork[kind](sides as never, asked as never, read) as never;
