import type { FastifyInstance, FastifyRequest } from 'fastify';
import { requestError } from './errors.js';

/**
 * Lets the routes of a scope take files: as bare bytes of a type that no form of another site can send, one a request,
 * so that there is nothing to take apart and no name that could become a path. Each route states its own limit.
 */
export function takeBytes(scope: FastifyInstance): void {
  scope.addContentTypeParser('application/octet-stream', { parseAs: 'buffer' }, (_request, bytes, done) =>
    done(null, bytes),
  );
}

/** The bytes that came with a request. */
export function bytesOf(request: FastifyRequest): Uint8Array {
  if (Buffer.isBuffer(request.body)) return request.body;
  throw requestError(400, {
    code: 'bad-request',
    found: 'no file',
    wanted: 'the bytes of one, as application/octet-stream',
    where: 'body',
  });
}
