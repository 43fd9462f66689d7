import type { FastifyInstance, FastifyRequest } from 'fastify';
import { requestError } from './errors.js';

const loopbackNames = new Set(['127.0.0.1', 'localhost', '[::1]']);

/**
 * Refuses requests that did not come from a page of this very server.
 * A name that merely resolves to loopback (DNS rebinding) is refused by its Host header, a request sent by
 * another site's page by its Origin or Sec-Fetch-Site. Programs that send neither are let through.
 */
export function guardLoopback(server: FastifyInstance): void {
  server.addHook('onRequest', async (request) => {
    const refusal = strangerIn(request.headers);
    if (refusal) throw requestError(403, refusal);
  });
}

/** Why a request's headers show that it came from elsewhere; null when they do not. */
export function strangerIn(headers: FastifyRequest['headers']): Parameters<typeof requestError>[1] | null {
  const { host, origin } = headers;
  if (!host || !loopbackNames.has(hostName(host)))
    return {
      code: 'foreign-host',
      found: `Host ${host ?? 'missing'}`,
      wanted: '127.0.0.1, localhost or [::1]',
      where: 'header Host',
    };
  if (origin !== undefined && origin !== `http://${host}`)
    return {
      code: 'foreign-origin',
      found: `Origin ${origin}`,
      wanted: `http://${host}`,
      where: 'header Origin',
    };
  if (headers['sec-fetch-site'] === 'cross-site' && headers['sec-fetch-mode'] !== 'navigate')
    return {
      code: 'foreign-origin',
      found: 'a request made by another site',
      wanted: 'one made by this page',
      where: 'header Sec-Fetch-Site',
    };
  return null;
}

function hostName(host: string): string {
  return host.toLowerCase().replace(/:\d{1,5}$/, '');
}
