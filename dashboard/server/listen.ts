import type { FastifyInstance } from 'fastify';

/** Where the page is found unless another port is asked for. */
export const USUAL_PORT = 4870;

/** What a server is bound to: this machine's own loopback, or every network that it is in. */
const hosts = { 'this-machine': '127.0.0.1', 'home-network': '0.0.0.0' } as const;

/**
 * Binds a server, to this machine alone unless something else is asked for.
 * @param port to listen at; where it is left out the usual one, or any free one should that be taken
 * @param reach how far; only a server that was made with a network answers more than this machine
 * @returns the address to open on this machine
 * @throws EADDRINUSE for a port that was asked for and is taken
 */
export async function listen(
  server: FastifyInstance,
  port?: number,
  reach: keyof typeof hosts = 'this-machine',
): Promise<string> {
  await server.ready();
  const bind = async (to: number) => {
    const bound = new URL(await server.listen({ host: hosts[reach], port: to }));
    return `http://127.0.0.1:${bound.port || 80}/`;
  };
  try {
    return await bind(port ?? USUAL_PORT);
  } catch (error) {
    if (port !== undefined || (error as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw error;
    return bind(0);
  }
}
