import { stringify } from 'csv-stringify/sync';

export type Cell = string | number | null;

/** A table as files and screens take it: headings with their units in the name, one cell per heading. */
export interface Table<Column extends string = string> {
  readonly columns: readonly Column[];
  readonly rows: readonly Readonly<Record<Column, Cell>>[];
}

/**
 * A table as CSV (RFC 4180): a heading line, CRLF, quotes where a cell needs them, numbers in full precision,
 * an empty cell for null and for a number that is not finite.
 * @returns the text; a cell whose text a spreadsheet would run as a formula gets an apostrophe in front
 */
export function tableCsv(table: Table): string {
  return stringify(
    table.rows.map((row) => table.columns.map((column) => present(row[column]))),
    { columns: [...table.columns], header: true, record_delimiter: 'windows', escape_formulas: true },
  );
}

function present(cell: Cell | undefined): Cell | undefined {
  return typeof cell === 'number' && !Number.isFinite(cell) ? null : cell;
}
