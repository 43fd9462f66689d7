import type * as z from 'zod';
import { DaqError, type DaqErrorCode } from '../daq-error.js';
import { type FileSource, readSource } from './read-source.js';

/**
 * Reads a JSON file and checks its shape.
 * @param schema each of its own messages says what is wanted
 * @throws DaqError 'file-…', or `code` naming the place in the file, what was found there and what was wanted
 */
export async function readJson<Shape extends z.ZodType>(
  fileOrBytes: string | FileSource,
  schema: Shape,
  code: DaqErrorCode = 'json-invalid',
): Promise<z.output<Shape>> {
  const { name, bytes } = await readSource(fileOrBytes);
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder().decode(bytes));
  } catch (error) {
    const found = `no JSON (${(error as Error).message})`;
    throw new DaqError(code, { where: name, found, wanted: 'JSON' }, { cause: error });
  }
  return inShape(name, value, schema, code);
}

/**
 * Holds a value to a shape.
 * @param where for messages
 * @throws DaqError `code` naming the place in the value, what was found there and what was wanted
 */
export function inShape<Shape extends z.ZodType>(
  where: string,
  value: unknown,
  schema: Shape,
  code: DaqErrorCode = 'json-invalid',
): z.output<Shape> {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  const path = issue!.path;
  const found = path.reduce<unknown>((inner, key) => (inner as Record<PropertyKey, unknown>)?.[key], value);
  throw new DaqError(code, {
    where,
    ...(path.length > 0 && { key: path.join('.') }),
    found: found === undefined ? 'nothing' : JSON.stringify(found).slice(0, 60),
    wanted: issue!.message,
  });
}
