/** How one field of a line is read and written. */
export interface Field<T> {
  /** What may stand here, for the message to a caller who gave something else. */
  readonly wanted: string;
  /** The value of bytes[from, to), or undefined when they do not spell one. */
  read(bytes: Uint8Array, from: number, to: number): T | undefined;
  /** The field's text, or undefined when the value cannot travel. */
  write(value: T): string | undefined;
}

const COMMA = 0x2c;
const MINUS = 0x2d;
const ZERO = 0x30;

/** Index of the comma that ends the field starting at `from`, or `end`. */
export function endOfField(bytes: Uint8Array, from: number, end: number): number {
  let at = from;
  while (at < end && bytes[at] !== COMMA) at++;
  return at;
}

/** Bytes 0x00..0x7F as text; at most a line's worth. */
export function asciiText(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}

/** A decimal integer in its one spelling: no plus sign, no leading zero, no minus zero. */
export function integer(min: number, max: number): Field<number> {
  return {
    wanted: `an integer from ${min} to ${max}`,
    read(bytes, from, to) {
      const first = bytes[from] === MINUS ? from + 1 : from;
      if (first >= to) return undefined;
      if (bytes[first] === ZERO && to - from > 1) return undefined;
      let magnitude = 0;
      for (let i = first; i < to; i++) {
        const digit = bytes[i] - ZERO;
        if (digit < 0 || digit > 9) return undefined;
        magnitude = magnitude * 10 + digit;
      }
      const value = first > from ? -magnitude : magnitude;
      return value >= min && value <= max ? value : undefined;
    },
    write: (value) => (Number.isInteger(value) && value >= min && value <= max ? `${value}` : undefined),
  };
}

/** Text that a given pattern allows; the pattern must keep out commas, asterisks and control characters. */
export function text(pattern: RegExp): Field<string> {
  return {
    wanted: `text matching ${pattern.source}`,
    read(bytes, from, to) {
      const value = asciiText(bytes, from, to);
      return pattern.test(value) ? value : undefined;
    },
    write: (value) => (pattern.test(value) ? value : undefined),
  };
}

/** One of a closed list of values, each with its word on the wire. */
export function oneOf<T extends string>(words: readonly (readonly [value: T, word: string])[]): Field<T> {
  const wordByValue = new Map<T, string>(words);
  const valueByWord = new Map(words.map(([value, word]) => [word, value]));
  return {
    wanted: `one of ${[...wordByValue.keys()].join(', ')}`,
    read: (bytes, from, to) => valueByWord.get(asciiText(bytes, from, to)),
    write: (value) => wordByValue.get(value),
  };
}

/** One of a closed list of values that travel as themselves. */
export const oneOfNames = <T extends string>(names: readonly T[]): Field<T> =>
  oneOf(names.map((name) => [name, name]));

export const uint8 = integer(0, 0xff);
export const uint16 = integer(0, 0xffff);
export const uint32 = integer(0, 0xffff_ffff);
export const int32 = integer(-0x8000_0000, 0x7fff_ffff);
