import type { FastifyInstance } from 'fastify';
import { readAnswerSchemas } from '../openapi/answer-schemas.js';
import { type DescribedRoute, openApiDocument } from '../openapi/describe-routes.js';

/** GET /api/openapi.json: every route that is registered after this one, and this one. */
export function openApiRoute(server: FastifyInstance, version: string): void {
  const routes: DescribedRoute[] = [];
  server.addHook('onRoute', ({ method, url, schema }) => {
    routes.push({ method, url, ...(schema && { schema }) });
  });
  server.get('/api/openapi.json', () => openApiDocument(routes, readAnswerSchemas(), version));
}
