import { asciiText, endOfField, type Field, text } from './fields.js';
import { ProtocolError } from './protocol-error.js';

/** One kind of line: its first word, what that word implies, and the fields after it in wire order. */
export interface LineForm {
  readonly word: string;
  readonly implied: object;
  readonly fields: readonly (readonly [name: string, field: Field<unknown>])[];
  /** Property that keeps the texts after the last field; without one they are ignored. */
  readonly rest: string | undefined;
}

const restText = text(/^[ -)+\--~]*$/);

/**
 * Describes a line once, for reading and for writing.
 * @param word the line's first field
 * @param implied the properties of the frame that the word alone decides
 * @param layout a field for every other property; the order written here is the order on the wire
 * @param rest the property, if any, that keeps the texts of all later fields
 */
export function lineForm<Frame, Implied extends keyof Frame>(
  word: string,
  implied: Pick<Frame, Implied>,
  layout: { readonly [Name in Exclude<keyof Frame, Implied>]: Field<Frame[Name]> },
  rest?: Implied & string,
): LineForm {
  return { word, implied, fields: Object.entries<Field<unknown>>(layout), rest };
}

/** Reads a frame from the bytes after the line's word; undefined when a field is missing or wrong. */
export function readFrame(form: LineForm, bytes: Uint8Array, start: number, end: number): object | undefined {
  const frame: Record<string, unknown> = { ...form.implied };
  let from = start;
  for (const [name, field] of form.fields) {
    const to = endOfField(bytes, from, end);
    const value = field.read(bytes, from, to);
    if (value === undefined) return undefined;
    frame[name] = value;
    from = to + 1;
  }
  if (form.rest) frame[form.rest] = from > end ? [] : asciiText(bytes, from, end).split(',');
  return frame;
}

/** Writes a frame's payload; throws ProtocolError 'unencodable-field' naming found, wanted and where. */
export function writePayload(form: LineForm, frame: object): string {
  const values = frame as Readonly<Record<string, unknown>>;
  let payload = form.word;
  for (const [name, field] of form.fields)
    payload += `,${write(field, values[name], `${form.word} ${name}`)}`;
  if (form.rest)
    for (const value of values[form.rest] as readonly string[])
      payload += `,${write(restText, value, `${form.word} ${form.rest}`)}`;
  return payload;
}

function write<T>(field: Field<T>, value: T, where: string): string {
  const written = field.write(value);
  if (written === undefined)
    throw new ProtocolError('unencodable-field', `found ${value}, wanted ${field.wanted}, in ${where}`);
  return written;
}
