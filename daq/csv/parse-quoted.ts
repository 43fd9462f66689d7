import { CsvError, parse } from 'csv-parse';
import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';
import { numberTimesTenTo } from './number-text.js';
import type { NumericTable } from './numeric-table.js';
import type { BodyForm } from './parse-plain.js';

/** Far more than a row of numbers and notes takes. */
const MOST_RECORD_BYTES = 1e6;

const NUMBER = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i;

/**
 * Reads numbers from a file with quotes, after RFC 4180.
 * @throws what the table throws; DaqError 'csv-row' for quotes that do not pair
 */
export async function parseQuoted(
  source: FileSource,
  start: number,
  delimiter: number,
  table: NumericTable,
  { firstLine = 2, decimalMark: onlyMark }: BodyForm = {},
): Promise<void> {
  const parser = parse({
    delimiter: String.fromCharCode(delimiter),
    relax_column_count: true,
    skip_empty_lines: true,
    info: true,
    // A quote that never closes would otherwise take in the rest of the file.
    max_record_size: MOST_RECORD_BYTES,
    from_line: firstLine,
  });
  parser.end(source.bytes.subarray(start));
  let decimalMark = onlyMark === undefined ? '' : String.fromCharCode(onlyMark);
  try {
    for await (const { record, info } of parser as AsyncIterable<{
      record: string[];
      info: { lines: number };
    }>) {
      for (const [cell, raw] of record.entries()) {
        const column = table.wantedAt[cell] ?? -1;
        const text = raw.trim();
        if (column < 0 || text === '') continue;
        const mark = /[.,]/.exec(text)?.[0] ?? decimalMark;
        const value = numberTimesTenTo(text, table.tenTo[column]!);
        if (!NUMBER.test(text) || !Number.isFinite(value) || (decimalMark !== '' && mark !== decimalMark))
          table.failCell(info.lines, column, text);
        decimalMark = mark;
        table.row[column] = value;
      }
      table.endRow(info.lines, record.length);
    }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = error.lines as number | undefined;
    throw new DaqError(
      'csv-row',
      {
        where: source.name,
        ...(line && { line }),
        found: error.code === 'CSV_MAX_RECORD_SIZE' ? 'a row of more than 1 MB' : 'quotes out of place',
        wanted: 'rows whose quotes close, as in RFC 4180',
      },
      { cause: error },
    );
  }
}
