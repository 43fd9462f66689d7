import type { DisplayScale } from '../../wording/index.js';

export type TableCell = string | number | null;

/** What a picture draws as numbers: one heading a column, units in the headings. */
export interface PictureTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly TableCell[])[];
}

/** More digits than a picture shows and a rig knows. */
const DIGITS = 7;

/** A heading that carries its unit as this project's files write it: `velocity_mm_per_s`, `force_low95_lbf`. */
export const heading = (quantity: string, { unit }: DisplayScale): string =>
  `${quantity}_${unit.replace('/', '_per_')}`;

/** A picture's table as CSV (RFC 4180): comma, CRLF, quotes where needed; an empty cell where there is no number. */
export function csvOf({ columns, rows }: PictureTable): string {
  return [columns, ...rows].map((row) => `${row.map(cellText).join(',')}\r\n`).join('');
}

function cellText(cell: TableCell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(Number(cell.toPrecision(DIGITS))) : '';
  // What a spreadsheet would run as a formula stays text.
  const text = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}
