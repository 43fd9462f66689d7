import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify';
import type { ApiError } from './api.js';

/** An error that says what was found, what was wanted and where, and which status answers it. */
export interface RequestError extends Error, ApiError {
  readonly statusCode: number;
}

/** Makes an error for a route to throw; the handler below turns it into the answer. */
export function requestError(statusCode: number, detail: ApiError): RequestError {
  return Object.assign(new Error(`${detail.where}: found ${detail.found}, wanted ${detail.wanted}`), {
    statusCode,
    ...detail,
  });
}

/**
 * Turns whatever a route threw into `{ code, found, wanted, where }`.
 * Coded errors of the acquisition pass with their own words; an unforeseen one is logged and answered
 * without its text, which could carry a path.
 */
export function answerError(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  const { status, body } = describeError(error, request);
  if (status >= 500) request.log.error(error);
  reply.code(status).type('application/json; charset=utf-8').send(body);
}

/** What an error looks like from outside. */
export function describeError(
  error: unknown,
  request: Pick<FastifyRequest, 'method' | 'url'>,
): { readonly status: number; readonly body: ApiError } {
  const where = `${request.method} ${request.url.split('?')[0]}`;
  const coded = codedDetail(error, where);
  if (coded)
    return { status: (error as Partial<RequestError>).statusCode ?? rigOrRequest(error), body: coded };
  const status = (error as Partial<FastifyError>).statusCode ?? 500;
  if (status < 500 && error instanceof Error)
    return {
      status,
      body: {
        code: frameworkCodes[status] ?? 'bad-request',
        found: error.message,
        wanted: 'a request this route understands',
        where,
      },
    };
  return {
    status: 500,
    body: { code: 'internal', found: 'a fault in the server', wanted: 'the log shows the details', where },
  };
}

/** A coded error of the acquisition: 502 when the rig behind this server failed, 409 when the request does not fit. */
function rigOrRequest(error: unknown): number {
  return (error as { isRigFailure?: boolean }).isRigFailure === true ? 502 : 409;
}

const frameworkCodes: Readonly<Record<number, string>> = {
  404: 'not-found',
  413: 'too-large',
  415: 'not-json',
};

/** The four words of a coded error, whichever room threw it; null for any other error. */
export function codedDetail(error: unknown, where: string): ApiError | null {
  if (!(error instanceof Error)) return null;
  const { code, detail } = error as { code?: unknown; detail?: Partial<ApiError & InFile> };
  const words: Partial<ApiError & InFile> = detail ?? (error as Partial<ApiError>);
  if (typeof code !== 'string' || typeof words.found !== 'string' || typeof words.wanted !== 'string')
    return null;
  const { line, column, key } = words;
  const place = [line && `line ${line}`, column && `column ${column}`, key && `key ${key}`].filter(Boolean);
  return {
    code,
    found: words.found,
    wanted: words.wanted,
    where: [words.where ?? where, ...place].join(', '),
  };
}

/** What a page is told of a failure at the rig: its own words, or that this program is at fault. */
export const toldError = (error: unknown, where: string): ApiError =>
  codedDetail(error, where) ?? {
    code: 'internal',
    found: error instanceof Error ? error.message : String(error),
    wanted: 'no fault of this program',
    where,
  };

/** The place in a file. */
interface InFile {
  readonly line: number;
  readonly column: string;
  readonly key: string;
}
