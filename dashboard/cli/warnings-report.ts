import type { RecordingAnalysis } from '../../analysis/index.js';
import { findingSentence } from '../wording/index.js';
import { style, wrap } from './terminal.js';

/** Warnings of several recordings, each sentence once with the number of recordings it came from; '' without any. */
export function warningsReport(analyses: readonly RecordingAnalysis[]): string {
  const counts = new Map<string, number>();
  for (const { findings } of analyses) {
    const warnings = findings.filter(({ severity }) => severity === 'warning');
    for (const sentence of new Set(warnings.map((finding) => findingSentence(finding))))
      counts.set(sentence, (counts.get(sentence) ?? 0) + 1);
  }
  const lines = [...counts].map(([sentence, recordings]) =>
    style(
      'yellow',
      wrap(`▲ Warning in ${recordings} of ${analyses.length} recordings: ${sentence}`, undefined, '  '),
    ),
  );
  return lines.length === 0 ? '' : `\n${lines.join('\n')}\n`;
}
