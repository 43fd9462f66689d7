import type { ServerResponse } from 'node:http';
import type { FastifyInstance } from 'fastify';
import type { LiveEstimate } from '../../answers/index.js';
import type { SessionBody } from '../api.js';
import { eventText, type LiveHub } from '../live-hub.js';

const KEEP_ALIVE_MS = 15_000;

/**
 * GET /api/live: a stream of server-sent events; a browser resumes it by itself with Last-Event-ID.
 * @param estimates so far, for a page that comes in the middle of a recording
 */
export function liveRoute(
  server: FastifyInstance,
  hub: LiveHub,
  session: () => SessionBody,
  estimates: () => readonly LiveEstimate[],
): void {
  const open = new Set<ServerResponse>();
  server.addHook('preClose', async () => {
    for (const stream of open) stream.end();
  });

  server.get('/api/live', (request, reply) => {
    reply.hijack();
    const stream = reply.raw;
    for (const [name, value] of Object.entries(reply.getHeaders()))
      if (value !== undefined) stream.setHeader(name, value);
    stream.writeHead(200, {
      'content-type': 'text/event-stream; charset=utf-8',
      'cache-control': 'no-store',
    });
    stream.write(`retry: 1000\n\n${eventText('session', session())}`);
    const lastEventId = request.headers['last-event-id'];
    if (lastEventId === undefined)
      for (const estimate of estimates()) stream.write(eventText('estimate', estimate));
    const leave = hub.subscribe(
      { write: (text) => stream.write(text), isFull: () => stream.writableNeedDrain },
      typeof lastEventId === 'string' ? lastEventId : undefined,
    );
    const keepAlive = setInterval(() => stream.write(': here\n\n'), KEEP_ALIVE_MS);
    open.add(stream);
    stream.on('close', () => {
      clearInterval(keepAlive);
      leave();
      open.delete(stream);
    });
  });
}
