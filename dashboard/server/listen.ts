import type { FastifyInstance } from 'fastify';

/** Where the page is found unless another port is asked for. */
export const USUAL_PORT = 4870;

/**
 * Binds a server to this machine alone.
 * @param port to listen at; where it is left out the usual one, or any free one should that be taken
 * @returns the address to open
 * @throws EADDRINUSE for a port that was asked for and is taken
 */
export async function listen(server: FastifyInstance, port?: number): Promise<string> {
  await server.ready();
  try {
    return `${await server.listen({ host: '127.0.0.1', port: port ?? USUAL_PORT })}/`;
  } catch (error) {
    if (port !== undefined || (error as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw error;
    return `${await server.listen({ host: '127.0.0.1', port: 0 })}/`;
  }
}
