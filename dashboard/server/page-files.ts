import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import serveStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';
import { requestError } from './errors.js';

/** Where the built page lies, seen from the compiled server and from its sources alike. */
export function builtPageFolder(): string {
  const beside = fileURLToPath(new URL('../web', import.meta.url));
  if (existsSync(join(beside, 'assets'))) return beside;
  return fileURLToPath(new URL('../../dist/dashboard/web', import.meta.url));
}

/** The addresses of the page: one for each of its places. */
export const places = ['/', '/bench', '/builds', '/together', '/next', '/care'];

/**
 * Serves the built page: its hashed files for ever, the page itself never from a cache, at the address of
 * each of its places.
 */
export async function servePage(server: FastifyInstance, folder = builtPageFolder()): Promise<void> {
  if (!existsSync(join(folder, 'index.html')))
    throw requestError(500, {
      code: 'page-not-built',
      found: `no index.html in ${folder}`,
      wanted: 'the built page (npm run build)',
      where: 'dashboard/web',
    });
  await server.register(serveStatic, {
    root: folder,
    index: false,
    // A route for each file that is there now: no path of a request is looked up in the file system.
    wildcard: false,
    // The build wrote a gzip beside each.
    preCompressed: true,
    serveDotFiles: false,
    cacheControl: false,
    setHeaders(reply, path) {
      const hashed = path.includes('/assets/') || path.includes('\\assets\\');
      reply.header('cache-control', hashed ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
  for (const place of places) server.get(place, (_request, reply) => reply.sendFile('index.html'));
}
