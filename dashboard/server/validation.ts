import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { requestError } from './errors.js';

/** Lets every route state its schema in zod: requests are parsed by it, answers are written as JSON. */
export function useZodSchemas(server: FastifyInstance): void {
  server.setValidatorCompiler(({ schema, httpPart }) => (data) => {
    const parsed = (schema as z.ZodType).safeParse(data ?? {});
    return parsed.success
      ? { value: parsed.data }
      : { error: badPart(parsed.error, data, httpPart ?? 'request') };
  });
  server.setSerializerCompiler(() => (body) => JSON.stringify(body));
}

function badPart(error: z.ZodError, data: unknown, part: string): Error {
  const issue = error.issues[0]!;
  const where = [part === 'querystring' ? 'query' : part, ...issue.path].map(String).join('.');
  return requestError(400, {
    code: 'bad-request',
    found: describeInput(issue.path, data),
    wanted: issue.message,
    where,
  });
}

/** What stood at a place of the request, as it came. */
function describeInput(path: readonly PropertyKey[], data: unknown): string {
  const input = path.reduce<unknown>(
    (value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key],
    data,
  );
  return input === undefined ? 'nothing' : JSON.stringify(input).slice(0, 80);
}

/** An id of the logbook as it stands in a path or a query. */
export const idInText = z.coerce
  .number('a whole number above 0')
  .int('a whole number above 0')
  .positive('a whole number above 0');

/** Ids as they stand in a query: the same name once for each. */
export const idsInText = z.preprocess(
  (told) => (told === undefined || Array.isArray(told) ? told : [told]),
  z.array(idInText, 'one or more ids'),
);

/** A number of a query; the bounds keep out what no shock has, the model refuses what makes no sense together. */
export const numberInText = (low: number, high: number, unit: string) => {
  const wanted = `a number from ${low} to ${high}${unit && ` ${unit}`}`;
  return z
    .string(wanted)
    .trim()
    .min(1, wanted)
    .pipe(z.coerce.number<string>(wanted).min(low, wanted).max(high, wanted));
};
