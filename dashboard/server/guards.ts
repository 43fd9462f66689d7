import type { FastifyInstance } from 'fastify';

/** What stands between this server and whoever should not use it; each can be taken away alone, by tests only. */
export type Guard =
  /** A name that merely resolves to this machine is refused (DNS rebinding). */
  | 'host'
  /** A request made by another site's page is refused. */
  | 'origin'
  /** A body is JSON or it is refused: what a form of another site can send is not even read. */
  | 'json-bodies'
  /** A page loads nothing but itself and runs no script inside it. */
  | 'page-policy'
  /** A body has a size that a person could mean. */
  | 'body-size'
  /** Only ports that the system lists are opened. */
  | 'listed-ports'
  /** Whoever starts something that moves is on this machine. */
  | 'at-the-rig'
  /** Whoever comes over a network has told the code that this machine shows. */
  | 'pairing'
  /** Wrong codes are counted. */
  | 'few-tries'
  /** Only a home's own addresses are talked to. */
  | 'home-network';

declare module 'fastify' {
  interface FastifyInstance {
    /** Whether a guard stands. */
    stands(guard: Guard): boolean;
  }
}

/** Puts up all guards but those that a test wants away. */
export function putUpGuards(server: FastifyInstance, away: readonly Guard[]): void {
  server.decorate('stands', (guard: Guard) => !away.includes(guard));
}
