import { numberTimesTenTo } from './number-text.js';
import type { NumericTable } from './numeric-table.js';

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const SPACE = 0x20;
const ZERO = 0x30;
const NINE = 0x39;
const PLUS = 0x2b;
const MINUS = 0x2d;
const LOWER_E = 0x65;
const UPPER_E = 0x45;
const COMMA = 0x2c;
const POINT = 0x2e;

/** 10ⁿ for n up to 22, all of them exact in a float64. */
const TEN_TO = Float64Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));
/** Bytes of a cell beyond which it is no number. */
const LONGEST_CELL = 400;
/** Digits whose integer is exact in a float64, whatever they are. */
const EXACT_DIGITS = 15;

/** What is known of a body beforehand. */
export interface BodyForm {
  /** Line of the file that it starts with, 2 where it is left out. */
  readonly firstLine?: number;
  /** The byte between whole and decimals; whichever comes first where it is left out. */
  readonly decimalMark?: number;
}

/**
 * Reads numbers from the body of a file without quotes, straight from its bytes, many times faster than a
 * general CSV parser: our own recordings are long.
 * @param start index of the body's first byte
 * @remarks a number of up to 15 digits and a power of ten up to 22 is one exact integer times or over one exact
 *   power, which IEEE arithmetic rounds correctly (Clinger 1990); others go through `Number`. Where the delimiter
 *   is no comma, decimal commas are read as well, but not both marks in one file: a mark of thousands would pass
 *   for a decimal one.
 * @throws what the table throws
 */
export function parsePlain(
  bytes: Uint8Array,
  start: number,
  delimiter: number,
  table: NumericTable,
  { firstLine = 2, decimalMark: onlyMark = 0 }: BodyForm = {},
): void {
  if (start >= bytes.length) return;
  // With a newline at the very end no loop below needs to look for the end of the bytes.
  const text = bytes.at(-1) === NEWLINE ? bytes : withNewline(bytes);
  const { wantedAt, tenTo, row } = table;
  const cells = wantedAt.length;
  const otherMark = delimiter === COMMA ? POINT : COMMA;
  let decimalMark = onlyMark;
  let line = firstLine;
  let cell = 0;
  let at = start;

  while (at < text.length) {
    const cellStart = at;
    const column = cell < cells ? wantedAt[cell]! : -1;
    if (column < 0) {
      while (text[at] !== delimiter && text[at] !== NEWLINE) at++;
    } else {
      while (text[at] === SPACE) at++;
      let byte = text[at]!;
      const isNegative = byte === MINUS;
      if (isNegative || byte === PLUS) byte = text[++at]!;
      const numberStart = at;
      let mantissa = 0;
      let power = 0;
      while (byte >= ZERO && byte <= NINE) {
        mantissa = 10 * mantissa + (byte - ZERO);
        byte = text[++at]!;
      }
      let digits = at - numberStart;
      if ((byte === POINT || byte === otherMark) && (decimalMark === 0 || byte === decimalMark)) {
        decimalMark = byte;
        const fractionStart = at + 1;
        byte = text[++at]!;
        while (byte >= ZERO && byte <= NINE) {
          mantissa = 10 * mantissa + (byte - ZERO);
          byte = text[++at]!;
        }
        power = fractionStart - at;
        digits -= power;
      }
      if (digits > 0 && (byte === LOWER_E || byte === UPPER_E)) {
        const exponent = exponentAt(text, at + 1);
        if (exponent) {
          power += exponent.value;
          at = exponent.end;
          byte = text[at]!;
        }
      }
      while (byte === SPACE || byte === RETURN) byte = text[++at]!;
      if (digits > 0 && (byte === delimiter || byte === NEWLINE)) {
        let value: number;
        if (at - cellStart > LONGEST_CELL) table.failCell(line, column, cellText(text, cellStart, at));
        power += tenTo[column]!;
        if (digits > EXACT_DIGITS || power > 22 || power < -22)
          value = Math.abs(numberTimesTenTo(cellText(text, cellStart, at), tenTo[column]!));
        else value = power < 0 ? mantissa / TEN_TO[-power]! : mantissa * TEN_TO[power]!;
        if (value === Infinity) table.failCell(line, column, cellText(text, cellStart, at));
        row[column] = isNegative ? -value : value;
      } else {
        while (text[at] !== delimiter && text[at] !== NEWLINE) at++;
        const found = cellText(text, cellStart, at);
        if (found !== '') table.failCell(line, column, found);
      }
    }
    cell++;
    if (text[at] === NEWLINE) {
      const isBlankLine = cell === 1 && cellText(text, cellStart, at) === '';
      if (!isBlankLine) table.endRow(line, cell);
      cell = 0;
      line++;
    }
    at++;
  }
}

function exponentAt(text: Uint8Array, start: number): { value: number; end: number } | null {
  const isNegative = text[start] === MINUS;
  let at = isNegative || text[start] === PLUS ? start + 1 : start;
  const firstDigit = at;
  let value = 0;
  // Beyond 9999 a number is nothing or infinite whatever its digits are.
  for (; text[at]! >= ZERO && text[at]! <= NINE; at++)
    value = Math.min(10 * value + (text[at]! - ZERO), 9999);
  return at === firstDigit ? null : { value: isNegative ? -value : value, end: at };
}

function withNewline(bytes: Uint8Array): Uint8Array {
  const longer = new Uint8Array(bytes.length + 1);
  longer.set(bytes);
  longer[bytes.length] = NEWLINE;
  return longer;
}

/** A cell as text, cut where it is far longer than any number: there are no strings of a gigabyte. */
function cellText(text: Uint8Array, start: number, end: number): string {
  const length = Math.min(end - start, LONGEST_CELL);
  return Buffer.from(text.buffer, text.byteOffset + start, length)
    .toString('utf8')
    .trim();
}
