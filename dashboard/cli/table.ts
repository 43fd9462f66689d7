import { style, textWidth, wrap } from './terminal.js';

export interface Column<Row> {
  readonly heading: string;
  readonly align: 'left' | 'right';
  readonly cell: (row: Row) => string;
}

export interface TableOptions<Row> {
  /** Columns of the terminal. */
  readonly width?: number;
  /** Rows that follow each other with the same heading stand under it; null for rows on their own. */
  readonly heading?: (row: Row) => string | null;
}

const GAP = '  ';

/**
 * An aligned table as text. Where it is wider than `width`, the first column's cells are broken at spaces.
 * @param columns heading, alignment and cell text of each column
 * @param rows one line each, or more where the first cell is broken
 */
export function table<Row>(
  columns: readonly Column<Row>[],
  rows: readonly Row[],
  { width = textWidth(), heading = () => null }: TableOptions<Row> = {},
): string {
  const cells = rows.map((row) => columns.map((column) => column.cell(row)));
  const widths = columns.map((column, i) =>
    Math.max(length(column.heading), ...cells.map((line) => length(line[i]!))),
  );
  const excess = widths.reduce((sum, w) => sum + w, GAP.length * (columns.length - 1)) - width;
  if (excess > 0) widths[0] = Math.max(12, widths[0]! - excess);

  const lines = [style('dim', line(columns.map((column) => column.heading)))];
  let above: string | null = null;
  cells.forEach((row, i) => {
    const group = heading(rows[i]!);
    if (group !== above && group !== null) lines.push(group);
    above = group;
    const [first = '', ...rest] =
      length(row[0]!) > widths[0]! ? wrap(row[0]!, widths[0]!).split('\n') : [row[0]];
    lines.push(line([first, ...row.slice(1)]));
    for (const more of rest) lines.push(`  ${more}`.trimEnd());
  });
  return lines.join('\n');

  function line(texts: readonly string[]): string {
    return texts
      .map((text, i) => {
        const fill = ' '.repeat(Math.max(0, widths[i]! - length(text)));
        return columns[i]!.align === 'right' ? fill + text : text + fill;
      })
      .join(GAP)
      .trimEnd();
  }
}

/** Characters as a terminal counts them, for the text this program writes (no combining or wide characters). */
function length(text: string): number {
  return [...text].length;
}
