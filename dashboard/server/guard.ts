import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { ApiError } from './api.js';
import { requestError } from './errors.js';
import { isFromThisMachine, isHomeAddress } from './network/origin-of-request.js';
import { PAIR_PATH, secretIn } from './network/pair-page.js';
import type { Pairing } from './network/pairing.js';

const loopbackNames = ['127.0.0.1', 'localhost', '[::1]'];

/** Who may ask from another machine. */
export interface NetworkAccess {
  /** This machine's own addresses in its home network; names are refused, since a name can be pointed here. */
  readonly addresses: readonly string[];
  readonly pairing: Pairing;
}

/**
 * Refuses requests that did not come from a page of this very server, and those over a network but from paired
 * browsers, which may look and may stop, and nothing else.
 * @param network null where this server is for its own machine alone
 */
export function guardRequests(server: FastifyInstance, network: NetworkAccess | null): void {
  const names = new Set([...loopbackNames, ...(network?.addresses ?? [])]);
  server.addHook('onRequest', async (request, reply) => {
    const stranger =
      (server.stands('host') && strangeHost(request.headers, names)) ||
      (server.stands('origin') && strangeOrigin(request.headers));
    if (stranger) throw requestError(403, stranger);
    if (!isFromThisMachine(request)) return guardNetwork(request, reply, network);
  });
}

function guardNetwork(request: FastifyRequest, reply: FastifyReply, network: NetworkAccess | null) {
  const { server } = request;
  const path = request.url.split('?')[0]!;
  if (!network || (server.stands('home-network') && !isHomeAddress(request.socket.remoteAddress)))
    throw requestError(403, {
      code: 'not-at-the-rig',
      found: 'a request that came over a network',
      wanted: network ? 'one of the home network' : 'a page on the machine that the rig is plugged into',
      where: 'this server',
    });
  if (path === PAIR_PATH) return;
  if (server.stands('pairing') && !network.pairing.isPaired(secretIn(request.headers.cookie))) {
    if (request.method === 'GET' && request.headers.accept?.includes('text/html'))
      return reply.redirect(PAIR_PATH, 303);
    throw requestError(401, {
      code: 'not-paired',
      found: 'a browser that this machine does not know, or no longer',
      wanted: `the code that it shows, told at ${PAIR_PATH}`,
      where: 'header Cookie',
    });
  }
  if (!mayComeOverNetwork(request.method, path)) requireThisMachine(request);
}

/** Looking, and the one command that only ever makes things safer. */
function mayComeOverNetwork(method: string, path: string): boolean {
  return method === 'GET' || method === 'HEAD' || path === '/api/recordings/current/stop';
}

/**
 * Refuses whatever moves or changes something to someone on another machine, whatever address this server is bound to
 * and whoever passed the request on: whoever starts a drive must stand beside it.
 * @throws requestError 'not-at-the-rig'
 */
export function requireThisMachine(request: FastifyRequest): void {
  if (!request.server.stands('at-the-rig') || isFromThisMachine(request)) return;
  throw requestError(403, {
    code: 'not-at-the-rig',
    found: 'a request that came over a network',
    wanted: 'a page on the machine that the rig is plugged into',
    where: 'this server',
  });
}

/** Why a Host header names no address of this server; null when it does. */
function strangeHost({ host }: FastifyRequest['headers'], names: ReadonlySet<string>): ApiError | null {
  if (host && names.has(host.toLowerCase().replace(/:\d{1,5}$/, ''))) return null;
  return {
    code: 'foreign-host',
    found: `Host ${host ?? 'missing'}`,
    wanted: [...names].join(', '),
    where: 'header Host',
  };
}

/** Why a request's headers show that another site's page made it; programs that say nothing are let through. */
function strangeOrigin(headers: FastifyRequest['headers']): ApiError | null {
  const { host, origin } = headers;
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
