import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';
import { textStart } from './csv-form.js';
import { type ColumnGuess, guessColumns } from './guess-columns.js';
import type { CsvReading } from './stated-csv.js';

const MARKS = [
  { delimiter: ';', decimalMark: '.' },
  { delimiter: ';', decimalMark: ',' },
  { delimiter: '\t', decimalMark: '.' },
  { delimiter: '\t', decimalMark: ',' },
  { delimiter: ',', decimalMark: '.' },
  { delimiter: ',', decimalMark: ',' },
] as const;
const NUMBERS = {
  '.': /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i,
  ',': /^[+-]?(\d+(,\d*)?|,\d+)(e[+-]?\d+)?$/i,
} as const;
/** Loggers write a page about themselves first, not a book. */
const MOST_HEADER_LINES = 60;
const ROWS_JUDGED = 200;
const ROWS_SHOWN = 8;
const LONGEST_CELL_SHOWN = 40;

/** How a foreign file seems to be written, with what speaks for it. */
export interface CsvGuess {
  readonly reading: CsvReading;
  /** Rows that were looked at: so many, and all of `reading.cells` cells. */
  readonly rowsJudged: number;
  /** A number as the file writes it that shows the decimal mark; empty where all are whole. */
  readonly decimalExample: string;
  /** Every column of the file, also those that are left out of the reading. */
  readonly columns: readonly ColumnGuess[];
  /** The first rows, as they stand there. */
  readonly rows: readonly (readonly string[])[];
}

interface Candidate {
  readonly delimiter: CsvReading['delimiter'];
  readonly decimalMark: CsvReading['decimalMark'];
  readonly headerLines: number;
  readonly header: readonly string[][];
  readonly body: readonly string[][];
  /** Columns in which every cell is a number or empty. */
  readonly numeric: readonly number[];
}

/**
 * Guesses delimiter, decimal mark, header, columns and units of a CSV file from its beginning. Nothing is read by it:
 * the guess is shown, confirmed or corrected, and then stated to `readStatedCsv`.
 * @param head the beginning of the file, in whole lines but perhaps the last
 * @throws DaqError 'csv-encoding', 'csv-empty', 'csv-row' where there are no two columns of numbers
 */
export function guessCsv(head: FileSource): CsvGuess {
  const text = new TextDecoder().decode(head.bytes.subarray(textStart(head)));
  const lines = text.split(/\r?\n/);
  // The last line may have been cut off.
  if (lines.length > 2) lines.pop();
  if (lines.every((line) => line.trim() === ''))
    throw new DaqError('csv-empty', {
      where: head.name,
      line: 1,
      found: 'nothing',
      wanted: 'a header and rows of numbers',
    });
  const candidates = MARKS.flatMap((marks) => candidateOf(lines, marks));
  const [best] = candidates.sort((a, b) => worth(b) - worth(a));
  if (!best)
    throw new DaqError('csv-row', {
      where: head.name,
      found: `no two columns of numbers, first '${lines[0]!.slice(0, 60)}'`,
      wanted: 'rows of numbers, parted by commas, semicolons or tabs',
    });
  const { delimiter, decimalMark, headerLines, header, body } = best;
  const cells = body[0]!.length;
  const names = Array.from({ length: cells }, (_, cell) => nameOf(header, cell));
  const numberIn = (cell: string) => (cell === '' ? Number.NaN : Number(cell.replace(',', '.')));
  const columns = guessColumns(
    names.map((name, cell) => ({
      name,
      values: best.numeric.includes(cell) ? body.map((row) => numberIn(row[cell]!)) : null,
    })),
  );
  return {
    reading: {
      delimiter,
      decimalMark,
      headerLines,
      cells,
      columns: columns.flatMap(({ cell, name, quantity, unit }) =>
        quantity ? [{ cell, name, quantity, unit }] : [],
      ),
    },
    rowsJudged: body.length,
    decimalExample:
      body
        .flat()
        .find((cell) => cell.includes(decimalMark) && NUMBERS[decimalMark].test(cell))
        ?.slice(0, LONGEST_CELL_SHOWN) ?? '',
    columns,
    rows: body.slice(0, ROWS_SHOWN).map((row) => row.map((cell) => cell.slice(0, LONGEST_CELL_SHOWN))),
  };
}

/** The more columns of numbers and the fewer others, the likelier. */
const worth = ({ numeric, body }: Candidate) => 2 * numeric.length - body[0]!.length;

function candidateOf(
  lines: readonly string[],
  { delimiter, decimalMark }: (typeof MARKS)[number],
): Candidate[] {
  const isNumber = (cell: string) => NUMBERS[decimalMark].test(cell);
  const rows = lines.slice(0, MOST_HEADER_LINES + ROWS_JUDGED).map((line) => cellsOf(line, delimiter));
  const headerLines = rows.findIndex((row) => row.filter(isNumber).length >= 2);
  if (headerLines < 0 || headerLines > MOST_HEADER_LINES) return [];
  const cells = rows[headerLines]!.length;
  const body = rows.slice(headerLines).filter((row) => row.some((cell) => cell !== ''));
  const even = body.filter((row) => row.length === cells);
  // A ragged end is for the reading to refuse, with its line; a wrong delimiter makes most rows ragged.
  if (even.length < 0.9 * body.length) return [];
  const numeric = even[0]!.flatMap((_, cell) =>
    even.every((row) => row[cell] === '' || isNumber(row[cell]!)) && even.some((row) => row[cell] !== '')
      ? [cell]
      : [],
  );
  if (numeric.length < 2) return [];
  // A comma cannot part cells and decimals both, unless cells stand in quotes.
  if (delimiter === decimalMark && !lines.some((line) => line.includes('"'))) return [];
  const header = rows.slice(0, headerLines).filter((row) => row.length === cells);
  return [{ delimiter, decimalMark, headerLines, header, body: even.slice(0, ROWS_JUDGED), numeric }];
}

/** A name, and under it perhaps a unit in a line of its own. */
function nameOf(header: readonly string[][], cell: number): string {
  return header
    .slice(-2)
    .map((row) => row[cell]!)
    .join(' ')
    .trim();
}

function cellsOf(line: string, delimiter: string): string[] {
  if (!line.includes('"')) return line.split(delimiter).map((cell) => cell.trim());
  // Quotes as in RFC 4180: a doubled one inside stands for itself.
  const pattern = new RegExp(`(?:^|${delimiter})("(?:[^"]|"")*"|[^${delimiter}]*)`, 'g');
  return [...line.matchAll(pattern)].map(([, cell]) =>
    cell!
      .trim()
      .replace(/^"(.*)"$/s, '$1')
      .replaceAll('""', '"')
      .trim(),
  );
}
