import type { RouteOptions } from 'fastify';
import * as z from 'zod';

/** A JSON Schema, 2020-12. */
export type JsonSchema = Readonly<Record<string, unknown>>;

/** What the build read from the types: what every route answers. */
export interface AnswerSchemas {
  /** By `GET /api/…`; null where the answer is no JSON. */
  readonly routes: Readonly<Record<string, JsonSchema | null>>;
  readonly schemas: Readonly<Record<string, JsonSchema>>;
}

/** A route as it was registered. */
export type DescribedRoute = Pick<RouteOptions, 'method' | 'url' | 'schema'>;

interface RequestSchemas {
  readonly params?: z.ZodObject;
  readonly querystring?: z.ZodObject;
  readonly body?: z.ZodType;
}

/**
 * The routes below /api as an OpenAPI 3.1 document. Requests come from the very schemas that requests are parsed with,
 * answers from the types of what the handlers return.
 * Source: OpenAPI Specification 3.1.1.
 */
export function openApiDocument(
  routes: readonly DescribedRoute[],
  { routes: answers, schemas }: AnswerSchemas,
  version: string,
) {
  const paths: Record<string, Record<string, object>> = {};
  for (const { method, url, schema } of routes)
    for (const verb of [method].flat()) {
      if (!url.startsWith('/api/') || verb === 'HEAD') continue;
      const path = url.replace(/:(\w+)/g, '{$1}');
      paths[path] ??= {};
      paths[path][verb.toLowerCase()] = {
        ...requestOf((schema ?? {}) as RequestSchemas),
        responses: {
          '2XX': { description: 'Done.', ...contentOf(verb, url, answers[`${verb} ${url}`]) },
          default: { description: 'Refused, with the reason.', ...json(reference('ApiError')) },
        },
      };
    }
  return {
    openapi: '3.1.1',
    info: {
      title: 'dashpot-bench',
      version,
      description:
        'What the page of this program asks its own server, which answers on this machine. SI units unless a name says otherwise.',
    },
    paths,
    components: { schemas },
  };
}

function requestOf({ params, querystring, body }: RequestSchemas) {
  const parameters = [...parametersOf('path', params), ...parametersOf('query', querystring)];
  return {
    ...(parameters.length > 0 && { parameters }),
    ...(body && { requestBody: { required: true, ...json(asJsonSchema(body, 'input')) } }),
  };
}

/** Parameters are text that is read as numbers, so their kind is that of what they become. */
function parametersOf(place: 'path' | 'query', schema: z.ZodObject | undefined) {
  return Object.entries(schema?.shape ?? {}).map(([name, part]) => ({
    name,
    in: place,
    required: place === 'path' || !(part as z.ZodType).safeParse(undefined).success,
    schema: asJsonSchema(part as z.ZodType, 'output'),
  }));
}

function asJsonSchema(schema: z.ZodType, io: 'input' | 'output'): JsonSchema {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' });
  return rest;
}

/** Files and streams have no schema; their kind follows from the name of the route. */
function contentOf(verb: string, url: string, answer: JsonSchema | null | undefined) {
  if (answer) return json(answer);
  if (verb !== 'GET') return {};
  const [, media] = files.find(([end]) => url.endsWith(end)) ?? [];
  return { content: { [media ?? '*/*']: {} } };
}

const files = [
  ['.csv', 'text/csv'],
  ['.zip', 'application/zip'],
  ['/live', 'text/event-stream'],
] as const;

const json = (schema: JsonSchema) => ({ content: { 'application/json': { schema } } });

const reference = (name: string): JsonSchema => ({ $ref: `#/components/schemas/${name}` });
