import type { Estimate, KnownSpread, RecordingAnalysis } from '../../analysis/index.js';
import { acrossRemounts } from '../answers/index.js';
import { findingSentence } from '../wording/index.js';

/** One line of `analyze --json`; the shape that other programs read. */
export type AnalysisDocument =
  | ({ readonly file: string } & Omit<RecordingAnalysis, 'findings'> & {
        readonly findings: readonly FindingDocument[];
        /** Values as another mounting might have shown them, by quantity, where the rig's spread is known. */
        readonly acrossRemounts?: Readonly<Record<string, Estimate>>;
      })
  | { readonly file: string; readonly error: string };

export interface FindingDocument {
  readonly code: string;
  readonly severity: 'note' | 'warning';
  readonly message: string;
  /** The finding's own values, e.g. `deadStroke_mm`. */
  readonly [value: string]: number | string;
}

/** An analysis as it is published: its file first, findings with their sentence and values side by side. */
export function analysisDocument(
  file: string,
  analysis: RecordingAnalysis,
  known?: KnownSpread,
): AnalysisDocument {
  const across = acrossRemounts(analysis, known);
  return {
    file,
    ...analysis,
    findings: analysis.findings.map((finding) => ({
      ...finding.values,
      code: finding.code,
      severity: finding.severity,
      message: findingSentence(finding),
    })),
    ...(across.length > 0 && {
      acrossRemounts: Object.fromEntries(across.map(({ quantity, estimate }) => [quantity, estimate])),
    }),
  };
}
