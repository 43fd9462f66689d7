/** Tables for the command line and the page's exports: summaries by build, oil and piston, differences, CSV. */
export { type ComparedBuilds, type ComparisonColumn, comparisonTable } from './comparison.js';
export { recordingRow } from './recording-row.js';
export { MAX_TABLE_ROWS } from './row-limit.js';
export {
  type RecordingRow,
  type Summary,
  type SummaryKey,
  type SummaryRow,
  summarise,
} from './summary.js';
export { type Cell, type Table, tableCsv } from './table.js';
