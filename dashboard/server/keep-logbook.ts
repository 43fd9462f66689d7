import type { FastifyInstance } from 'fastify';
import type { Logbook } from '../../daq/index.js';
import type { LiveHub } from './live-hub.js';
import { buildRoutes } from './routes/builds.js';
import { exportRoutes } from './routes/exports.js';
import { importRoutes } from './routes/imports.js';
import { keepingRoutes } from './routes/keeping.js';
import { photoRoutes } from './routes/photos.js';
import { takeBytes } from './uploads.js';

/** All that people do with a logbook beside recording into it. */
export function keepLogbook(
  server: FastifyInstance,
  parts: { readonly logbook: Logbook; readonly hub: LiveHub; readonly isRecording: () => boolean },
): void {
  const { logbook, hub } = parts;
  server.register(async (scope) => {
    takeBytes(scope);
    buildRoutes(scope, logbook, hub);
    keepingRoutes(scope, logbook, hub);
    photoRoutes(scope, logbook, hub);
    importRoutes(scope, parts);
    exportRoutes(scope, logbook);
  });
}
