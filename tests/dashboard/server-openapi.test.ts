import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import * as z from 'zod';
import { filesIn } from '../structure/source-tree.js';
import { dampedBody } from './damped-body.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';

interface Operation {
  readonly parameters?: readonly { name: string; in: string; required: boolean; schema: object }[];
  readonly requestBody?: { readonly content: Record<string, { readonly schema: object }> };
  readonly responses: Record<string, { readonly content?: Record<string, { readonly schema: object }> }>;
}

interface Document {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, Operation>>;
  readonly components: { readonly schemas: Record<string, object> };
}

let bench: Bench;
let document: Document;
let routes: { method: string; path: string; operation: Operation }[];

beforeAll(async () => {
  bench = openBench({ analyse: dampedBody });
  enterTwoBuilds(bench.logbook);
  document = (await bench.get('/api/openapi.json')).body as Document;
  routes = Object.entries(document.paths).flatMap(([path, operations]) =>
    Object.entries(operations).map(([method, operation]) => ({ method, path, operation })),
  );
});
afterAll(() => bench.close());

/** A JSON Schema of the document as a check of values. */
function checkOf(schema: object): z.ZodType {
  const text = JSON.stringify({ $defs: document.components.schemas, ...schema });
  return z.fromJSONSchema(JSON.parse(text.replaceAll('#/components/schemas/', '#/$defs/')));
}

describe('the description of the routes', () => {
  it('has every route that the sources register', () => {
    const sources = filesIn(process.cwd(), 'dashboard/server').filter((path) => path.endsWith('.ts'));
    const registered = sources.flatMap((path) =>
      [
        ...readFileSync(join(process.cwd(), path), 'utf8').matchAll(
          /\.(get|post|put|patch|delete)(?:<[^(]*>)?\(\s*[`'"](\/api\/[^`'"$]+)[`'"]/g,
        ),
      ].map(([, method, url]) => `${method} ${url!.replace(/:(\w+)/g, '{$1}')}`),
    );
    expect(registered.length).toBeGreaterThan(15);
    expect(routes.map(({ method, path }) => `${method} ${path}`)).toEqual(expect.arrayContaining(registered));
  });

  it('says of every route that is only read what it answers', () => {
    const silent = routes.filter(({ operation }) => !operation.responses['2XX']!.content);
    expect(silent.filter(({ method }) => method === 'get')).toEqual([]);
    expect(routes.length - silent.length).toBeGreaterThan(15);
  });

  it('says what a query and a body are made of, in the terms they are refused in', () => {
    const holes = document.paths['/api/plan-holes']!.get!.parameters!;
    expect(holes.find(({ name }) => name === 'bore_mm')).toEqual({
      name: 'bore_mm',
      in: 'query',
      required: true,
      schema: expect.objectContaining({ type: 'number', minimum: 1, maximum: 100 }),
    });
    expect(holes.find(({ name }) => name === 'percent')).toMatchObject({ required: false });
    const discard = document.paths['/api/recordings/{id}/discard']!.post!;
    expect(discard.parameters).toMatchObject([{ name: 'id', in: 'path', required: true }]);
    expect(discard.requestBody!.content['application/json']!.schema).toMatchObject({
      properties: { reason: { type: 'string', minLength: 1, maxLength: 200 } },
      required: ['reason'],
    });
  });

  it('refers to nothing that is not in it', () => {
    const referred = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)];
    const names = new Set(referred.map(([, name]) => name!));
    expect(names.size).toBeGreaterThan(20);
    expect([...names].filter((name) => !(name in document.components.schemas))).toEqual([]);
  });
});

describe('what the routes answer', () => {
  const examples: Readonly<Record<string, number | string>> = {
    id: 1,
    before: 1,
    after: 2,
    have: 1,
    target: 2,
    recordings: 1,
    bore_mm: 12.7,
    rod_mm: 3.5,
    holes: 4,
    hole_mm: 1.5,
    thickness_mm: 2.5,
    by: 'build',
  };

  it('is as it was described, for all that only read', async () => {
    const answered: string[] = [];
    for (const { path, operation } of routes.filter(({ method }) => method === 'get')) {
      const schema = operation.responses['2XX']!.content?.['application/json']?.schema;
      if (!schema) continue;
      const required = (operation.parameters ?? []).filter((parameter) => parameter.required);
      const query = new URLSearchParams();
      let url = path;
      for (const { name, in: place } of required) {
        if (place === 'path') url = url.replace(`{${name}}`, String(examples[name]));
        else query.set(name, String(examples[name]));
      }
      const { status, body } = await bench.get(`${url}?${query}`);
      const refusal = operation.responses.default!.content!['application/json']!.schema;
      const check = checkOf(status === 200 ? schema : refusal).safeParse(body);
      expect([path, status, check.error?.issues ?? []]).toEqual([path, status, []]);
      if (status === 200) answered.push(path);
    }
    expect(answered).toEqual(
      expect.arrayContaining([
        '/api/builds',
        '/api/compare',
        '/api/match',
        '/api/plan-holes',
        '/api/plan-oil',
        '/api/ports',
        '/api/recordings/{id}/analysis',
        '/api/shelf',
        '/api/spreads',
        '/api/state',
      ]),
    );
  });

  it('would be noticed if it were otherwise', async () => {
    const { schema } = document.paths['/api/builds']!.get!.responses['2XX']!.content!['application/json']!;
    const { body } = await bench.get('/api/builds');
    const check = checkOf(schema);
    expect(check.safeParse(body).success).toBe(true);
    const { shocks: _, ...lacking } = body as { shocks: unknown };
    expect(check.safeParse(lacking).success).toBe(false);
    expect(check.safeParse({ ...lacking, shocks: [{ id: '1', name: 'a' }] }).success).toBe(false);
  });
});
