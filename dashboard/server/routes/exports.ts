import { Readable } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import { type Logbook, logbookFiles, zipOf } from '../../../daq/index.js';

/** The whole logbook to save: the files of the command `export --all`, as one archive. */
export function exportRoutes(server: FastifyInstance, logbook: Logbook): void {
  server.get('/api/export.zip', (_request, reply) => {
    const now = new Date();
    const archive = Readable.from(zipOf(logbookFiles(logbook), now), { objectMode: false });
    return reply
      .type('application/zip')
      .header('content-disposition', `attachment; filename="logbook-${now.toISOString().slice(0, 10)}.zip"`)
      .send(archive);
  });
}
