import { DaqError, type DaqErrorCode } from '../daq-error.js';
import type { Conversion } from './csv-units.js';

/** Most rows of one file: four hours at 1400 rows/s. */
export const MOST_ROWS = 20_000_000;

/** A column that is wanted from a file. */
export interface WantedColumn {
  /** Its place in the file, from 0. */
  readonly cell: number;
  readonly name: string;
  readonly conversion: Conversion;
  readonly mayBeEmpty: boolean;
  /** Each value must be greater than the one before. */
  readonly increases: boolean;
}

/** Columns being filled, row by row. */
export interface NumericTable {
  /** Which wanted column stands at a place in the file, or -1; one entry for each cell of a row. */
  readonly wantedAt: Int32Array;
  /** Power of ten that each wanted column's numbers are to be read with. */
  readonly tenTo: Int32Array;
  /** The row being filled, by wanted column, read with that power; NaN is an empty cell. */
  readonly row: Float64Array;
  /**
   * Takes the row, which has so many cells, and empties it.
   * @throws DaqError 'csv-row', 'csv-cell', 'csv-time', 'csv-too-long'
   */
  endRow(line: number, cells: number): void;
  /** @throws DaqError 'csv-cell' */
  failCell(line: number, column: number, found: string): never;
  /** The columns in SI, NaN where a cell was empty; the table is done with. */
  finish(): Float64Array<ArrayBuffer>[];
}

/**
 * Collects wanted columns of a file, in arrays that grow by doubling. Rows without any value are passed over:
 * spreadsheets like to end with some.
 * @param file name for messages
 * @param cells how many cells each row must have
 */
export function numericTable(file: string, wanted: readonly WantedColumn[], cells: number): NumericTable {
  const wantedAt = new Int32Array(cells).fill(-1);
  for (const [column, { cell }] of wanted.entries()) wantedAt[cell] = column;
  const width = wanted.length;
  const row = new Float64Array(width).fill(Number.NaN);
  const tenTo = Int32Array.from(wanted, ({ conversion }) => conversion.tenTo ?? 0);
  const isRequired = Uint8Array.from(wanted, ({ mayBeEmpty }) => Number(!mayBeEmpty));
  const isIncreasing = Uint8Array.from(wanted, ({ increases }) => Number(increases));
  let columns = wanted.map(() => new Float64Array(1024));
  let rows = 0;

  function fail(
    code: DaqErrorCode,
    line: number,
    column: number | null,
    found: string,
    wantedText: string,
  ): never {
    const place = column === null ? {} : { column: wanted[column]!.name };
    throw new DaqError(code, { where: file, line, ...place, found, wanted: wantedText });
  }

  /** A value as the file has it, for messages. */
  const inFile = (value: number, c: number) => Number((value / 10 ** tenTo[c]!).toPrecision(15));

  /** Why a row cannot be taken; called only when it cannot, or when it has nothing in it. */
  function refuseRow(line: number): void {
    if (row.every(Number.isNaN)) return;
    for (const [c, { mayBeEmpty, increases }] of wanted.entries()) {
      if (!mayBeEmpty && Number.isNaN(row[c])) fail('csv-cell', line, c, 'an empty cell', 'a number');
      const before = rows > 0 ? columns[c]![rows - 1]! : -Infinity;
      if (increases && !(row[c]! > before))
        fail(
          'csv-time',
          line,
          c,
          `${inFile(row[c]!, c)} after ${inFile(before, c)}`,
          'an increase from row to row',
        );
    }
  }

  function grow(line: number): void {
    if (rows >= MOST_ROWS) fail('csv-too-long', line, null, 'one row more', `at most ${MOST_ROWS} rows`);
    columns = columns.map((column) => {
      const grown = new Float64Array(2 * rows);
      grown.set(column);
      return grown;
    });
  }

  return {
    wantedAt,
    tenTo,
    row,
    endRow(line, found) {
      if (found !== cells)
        fail('csv-row', line, null, `${found} cell${found === 1 ? '' : 's'}`, `${cells}, as in the header`);
      if (rows === columns[0]!.length) grow(line);
      let isGood = true;
      for (let c = 0; c < width; c++) {
        const value = row[c]!;
        if (isRequired[c] === 1 && Number.isNaN(value)) isGood = false;
        if (isIncreasing[c] === 1 && rows > 0 && !(value > columns[c]![rows - 1]!)) isGood = false;
        columns[c]![rows] = value;
      }
      if (isGood) rows++;
      else refuseRow(line);
      row.fill(Number.NaN);
    },
    failCell: (line, column, found) => fail('csv-cell', line, column, `'${found.slice(0, 40)}'`, 'a number'),
    finish: () => columns.map((column, c) => inSi(column.slice(0, rows), wanted[c]!.conversion)),
  };
}

// Plain loops: a callback for each of millions of values would box every one of them.
function inSi(values: Float64Array<ArrayBuffer>, { subtract = 0, multiply = 1, divide = 1 }: Conversion) {
  for (let i = 0; i < values.length; i++) values[i] = ((values[i]! - subtract) * multiply) / divide;
  return values;
}
