import { readFileSync } from 'node:fs';
import { requestError } from '../errors.js';
import type { AnswerSchemas } from './describe-routes.js';

/** Beside the compiled server; and where that lies, seen from the sources. */
const places = [
  new URL('./answer-schemas.json', import.meta.url),
  new URL('../../../dist/dashboard/server/openapi/answer-schemas.json', import.meta.url),
];

/**
 * What the build read from the types.
 * @throws requestError 'not-built'
 */
export function readAnswerSchemas(): AnswerSchemas {
  for (const place of places) {
    try {
      return JSON.parse(readFileSync(place, 'utf8'));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    }
  }
  throw requestError(500, {
    code: 'not-built',
    found: 'no answer-schemas.json',
    wanted: 'the build (npm run build)',
    where: 'dashboard/server/openapi',
  });
}
