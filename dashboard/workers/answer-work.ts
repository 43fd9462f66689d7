import { compareBuilds, type RecordingAnalysis } from '../../analysis/index.js';
import { knownSpread, type LearntSpread, type OilEntry } from '../answers/index.js';
import type { SummaryKey } from '../tables/index.js';
import { match, planHoles, planOil, shelfOils } from './next-step.js';

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

/** Everything that is worked out from analyses, by name: from the analyses of each side and what is asked about them. */
export const answerWork = {
  compare: ({ before, after }: ComparedSides, { spreads }: ComparedAsked) =>
    compareBuilds(before, after, knownSpread(spreads)),
  match,
  'plan-oil': planOil,
  'plan-holes': planHoles,
  'shelf-oils': (_none: object, asked: { readonly oils: readonly OilEntry[] }) => shelfOils(asked.oils),
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

/** Works an answer out in the thread that asks. */
export const answerHere: AnswerFunction = async (kind, sides, asked) =>
  answerWork[kind](sides as never, asked as never) as never;
