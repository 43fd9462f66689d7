import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';

/** How a file is written, told from its first line. */
export interface CsvForm {
  /** The byte between cells: comma, semicolon or tab. */
  readonly delimiter: number;
  readonly names: readonly string[];
  /** Index of the first byte, after a byte order mark. */
  readonly start: number;
  /** Index of the first byte after the header. */
  readonly bodyStart: number;
  /** Quotes anywhere in the file. */
  readonly hasQuotes: boolean;
}

const DELIMITERS = [';', '\t', ','];
/** Room for thousands of columns; a longer first line is no header. */
const MOST_HEADER_BYTES = 1e6;

/**
 * Index of the first byte of a file's text, after a byte order mark.
 * @throws DaqError 'csv-encoding'
 */
export function textStart({ name, bytes }: FileSource): number {
  const [a, b, c] = bytes;
  const isUtf16 = (a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff);
  if (isUtf16 || bytes.subarray(0, 256).includes(0))
    throw new DaqError('csv-encoding', {
      where: name,
      found: isUtf16 ? 'UTF-16 text' : 'bytes that are no text',
      wanted: 'CSV as UTF-8',
    });
  return a === 0xef && b === 0xbb && c === 0xbf ? 3 : 0;
}

/**
 * Looks at a file's header. A semicolon or tab in it is the delimiter, whatever commas there are besides.
 * @throws DaqError 'csv-empty', 'csv-encoding', 'csv-header'
 */
export function csvForm(source: FileSource): CsvForm {
  const { name, bytes } = source;
  const start = textStart(source);
  const newline = bytes.indexOf(0x0a, start);
  const headerEnd = newline < 0 ? bytes.length : newline;
  if (headerEnd - start > MOST_HEADER_BYTES)
    throw new DaqError('csv-header', {
      where: name,
      line: 1,
      found: `a first line of ${((headerEnd - start) / 1e6).toFixed(1)} MB`,
      wanted: 'names of columns',
    });
  const header = new TextDecoder().decode(bytes.subarray(start, headerEnd)).trim();
  if (header === '')
    throw new DaqError('csv-empty', { where: name, line: 1, found: 'no header', wanted: 'names of columns' });
  const delimiter = DELIMITERS.find((candidate) => header.includes(candidate)) ?? ',';
  return {
    delimiter: delimiter.charCodeAt(0),
    names: header.split(delimiter).map((cell) =>
      cell
        .trim()
        .replace(/^"(.*)"$/, '$1')
        .trim(),
    ),
    start,
    bodyStart: headerEnd + 1,
    hasQuotes: bytes.includes(0x22),
  };
}
