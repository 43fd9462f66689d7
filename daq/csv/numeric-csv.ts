import { DaqError } from '../daq-error.js';
import { type FileSource, readSource } from '../files/read-source.js';
import { type CsvForm, csvForm } from './csv-form.js';
import { type NamedColumn, namedColumn, namesFor, type Quantity } from './csv-units.js';
import { numericTable, type WantedColumn } from './numeric-table.js';
import { type BodyForm, parsePlain } from './parse-plain.js';

/** What is wanted of one quantity. */
export interface QuantityRule {
  readonly quantity: Quantity;
  readonly required: boolean;
  readonly mayBeEmpty: boolean;
  readonly increases: boolean;
}

/** What a file's header said. */
export interface CsvHeader {
  readonly file: string;
  /** Column names as written, by quantity. */
  readonly columns: Readonly<Partial<Record<Quantity, string>>>;
  /** Columns that were not read. */
  readonly ignored: readonly string[];
  readonly delimiter: ',' | ';' | '\t';
  readonly rows: number;
}

/**
 * Reads columns of numbers from a CSV file in any order, units named by the header, commas or semicolons or
 * tabs, decimal points or (where cells are not parted by commas) commas, with or without byte order mark.
 * @returns values in SI by quantity, NaN for empty cells, all of equal length
 * @throws DaqError 'file-…', 'csv-…', naming file, line, column, found and wanted
 */
export async function readNumericCsv(
  fileOrBytes: string | FileSource,
  rules: readonly QuantityRule[],
): Promise<{ header: CsvHeader; values: Partial<Record<Quantity, Float64Array<ArrayBuffer>>> }> {
  const source = await readSource(fileOrBytes);
  const form = csvForm(source);
  const { wanted, quantities } = wantedColumns(source.name, form, rules);
  const columns = await readBody(source, form, wanted, form.names.length);
  return {
    header: {
      file: source.name,
      columns: Object.fromEntries(quantities.map((quantity, i) => [quantity, wanted[i]!.name])),
      ignored: form.names.filter((_, cell) => !wanted.some((column) => column.cell === cell)),
      delimiter: String.fromCharCode(form.delimiter) as CsvHeader['delimiter'],
      rows: columns[0]!.length,
    },
    values: Object.fromEntries(quantities.map((quantity, i) => [quantity, columns[i]!])),
  };
}

/**
 * Reads what stands below a header.
 * @param cells how many cells each row must have
 * @returns the wanted columns in SI, NaN for empty cells, of at least one row
 * @throws DaqError 'csv-…'
 */
export async function readBody(
  source: FileSource,
  { start, bodyStart, delimiter, hasQuotes }: Omit<CsvForm, 'names'>,
  wanted: readonly WantedColumn[],
  cells: number,
  body: BodyForm = {},
): Promise<Float64Array<ArrayBuffer>[]> {
  const table = numericTable(source.name, wanted, cells);
  if (hasQuotes) {
    const { parseQuoted } = await import('./parse-quoted.js');
    await parseQuoted(source, start, delimiter, table, body);
  } else parsePlain(source.bytes, bodyStart, delimiter, table, body);
  const columns = table.finish();
  if (columns[0]!.length === 0)
    throw new DaqError('csv-empty', {
      where: source.name,
      line: body.firstLine ?? 2,
      found: 'no rows',
      wanted: 'at least one',
    });
  return columns;
}

function wantedColumns(file: string, { names }: CsvForm, rules: readonly QuantityRule[]) {
  const wanted: WantedColumn[] = [];
  const quantities: Quantity[] = [];
  const refuse = (found: string, wantedText: string): never => {
    throw new DaqError('csv-header', { where: file, line: 1, found, wanted: wantedText });
  };
  for (const [cell, name] of names.entries()) {
    const named: NamedColumn = namedColumn(name);
    const rule = named && rules.find(({ quantity }) => quantity === named.quantity);
    if (!rule) continue;
    const { quantity, mayBeEmpty, increases } = rule;
    if ('unknownUnit' in named) return refuse(`column '${name}'`, `one of ${namesFor(quantity).join(', ')}`);
    if (quantities.includes(quantity))
      return refuse(
        `'${wanted[quantities.indexOf(quantity)]!.name}' and '${name}'`,
        `one column of ${quantity}`,
      );
    wanted.push({ cell, name, conversion: named.conversion, mayBeEmpty, increases });
    quantities.push(quantity);
  }
  const missing = rules.filter(({ quantity, required }) => required && !quantities.includes(quantity));
  if (missing.length > 0) {
    const all = rules.filter(({ required }) => required).map(({ quantity }) => namesFor(quantity)[0]);
    return refuse(
      `columns ${names
        .map((name) => `'${name.slice(0, 40)}'`)
        .slice(0, 8)
        .join(', ')}`,
      `${all.join(',')} (other units by name, such as ${missing.map(({ quantity }) => namesFor(quantity)[1]).join(', ')})`,
    );
  }
  return { wanted, quantities };
}
