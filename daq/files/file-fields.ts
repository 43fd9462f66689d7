import * as z from 'zod';

/** A number above a limit; `what` says what it is, for people. */
export function above(limit: number, what: string) {
  const error = `${what}, a number above ${limit}`;
  return z.number({ error }).gt(limit, { error });
}

export function textOf(what: string) {
  return z.string({ error: what }).trim().min(1, { error: what });
}
