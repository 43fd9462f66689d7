import helmet from '@fastify/helmet';
import type { FastifyInstance } from 'fastify';

/**
 * A content security policy that lets the page load nothing but itself.
 * Styles may be inline because the chart library writes them; scripts may not. Pictures may be `data:` and
 * `blob:` because charts are exported and their measured points drawn that way.
 */
export async function securityHeaders(server: FastifyInstance): Promise<void> {
  await server.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'", "'unsafe-inline'"],
        imgSrc: ["'self'", 'data:', 'blob:'],
        connectSrc: ["'self'"],
        workerSrc: ["'self'"],
        formAction: ["'self'"],
        baseUri: ["'none'"],
        objectSrc: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    // Plain HTTP on loopback: a promise of HTTPS would lock the page out.
    strictTransportSecurity: false,
    crossOriginResourcePolicy: { policy: 'same-origin' },
    referrerPolicy: { policy: 'no-referrer' },
  });
}
