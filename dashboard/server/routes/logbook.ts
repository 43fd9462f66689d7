import type { FastifyInstance } from 'fastify';
import type { Logbook } from '../../../daq/index.js';
import { describeLogbook } from '../describe-logbook.js';

/** What the logbook holds. */
export function logbookRoutes(server: FastifyInstance, logbook: Logbook): void {
  server.get('/api/builds', () => describeLogbook(logbook));
}
