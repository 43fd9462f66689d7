import type { TraceInput } from '../../analysis/index.js';
import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';
import { textStart } from './csv-form.js';
import { unitsOf } from './csv-units.js';
import { readBody } from './numeric-csv.js';
import { TRACE_RULES, traceOf } from './trace-csv.js';

/** What a recording's file can hold. */
export const TRACE_QUANTITIES = ['time', 'position', 'force', 'temperature'] as const;
export type TraceQuantity = (typeof TRACE_QUANTITIES)[number];

/** How a foreign file is to be read, as its owner confirmed it. */
export interface CsvReading {
  readonly delimiter: ',' | ';' | '\t';
  readonly decimalMark: '.' | ',';
  /** Lines before the first row of numbers. */
  readonly headerLines: number;
  /** How many cells each row has. */
  readonly cells: number;
  readonly columns: readonly {
    /** Its place in a row, from 0. */
    readonly cell: number;
    /** For messages. */
    readonly name: string;
    readonly quantity: TraceQuantity;
    /** As a header would name it: 's', 'mm', 'lbf'. */
    readonly unit: string;
  }[];
}

/**
 * Reads a recording from a CSV file whose form somebody stated, whatever its header says.
 * @returns as `readTraceCsv`: each channel on its own times, in s, m, N, °C
 * @throws DaqError 'csv-…', naming file, line, column, found and wanted
 */
export async function readStatedCsv(source: FileSource, reading: CsvReading): Promise<TraceInput> {
  const { delimiter, decimalMark, headerLines, cells } = reading;
  const start = textStart(source);
  const hasQuotes = source.bytes.includes(0x22);
  const refuse = (found: string, wanted: string): never => {
    throw new DaqError('csv-header', { where: source.name, found, wanted });
  };
  if (delimiter === decimalMark && !hasQuotes)
    refuse('commas between cells and inside numbers', 'another mark for one of them');
  const wanted = TRACE_RULES.flatMap(({ quantity, required, mayBeEmpty, increases }) => {
    const [column, twice] = reading.columns.filter((one) => one.quantity === quantity);
    if (twice) refuse(`'${column!.name}' and '${twice.name}' both as ${quantity}`, 'one column of each');
    if (!column) return required ? refuse(`no column for ${quantity}`, 'a column of it') : [];
    const { cell, name, unit } = column;
    const conversion = unitsOf(quantity)[unit];
    if (!conversion)
      return refuse(
        `'${name}' in ${unit || 'no unit that is known'}`,
        Object.keys(unitsOf(quantity)).join(', '),
      );
    if (cell >= cells) refuse(`column ${cell + 1}`, `one of the first ${cells}`);
    return [{ quantity, cell, name, conversion, mayBeEmpty, increases }];
  });
  const columns = await readBody(
    source,
    {
      start,
      bodyStart: lineStart(source.bytes, start, headerLines),
      delimiter: delimiter.charCodeAt(0),
      hasQuotes,
    },
    wanted,
    cells,
    { firstLine: headerLines + 1, decimalMark: decimalMark.charCodeAt(0) },
  );
  return traceOf(Object.fromEntries(wanted.map(({ quantity }, i) => [quantity, columns[i]!])));
}

/** Index of the first byte after so many lines; the end where there are fewer. */
function lineStart(bytes: Uint8Array, start: number, lines: number): number {
  let at = start;
  for (let line = 0; line < lines; line++) {
    const newline = bytes.indexOf(0x0a, at);
    if (newline < 0) return bytes.length;
    at = newline + 1;
  }
  return at;
}
