import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import type { Logbook, Properties, ShockId } from '../../../daq/index.js';
import type { MadeBody } from '../api.js';
import { enterBuild, knownBuild } from '../builds-of-requests.js';
import type { LiveHub } from '../live-hub.js';
import { partKeys, typedParts } from '../typed-parts.js';
import { idInText } from '../validation.js';

const name = z.string('a name').trim().min(1, 'a name').max(80, 'at most 80 characters');
const words = z.string('a text').trim().max(200, 'at most 200 characters');
const note = z.string('a text').trim().max(4000, 'at most 4000 characters');

const newBuild = z.object({
  shock: z.string('a label').trim().max(80, 'at most 80 characters'),
  parentId: z.int().positive().nullable(),
  name,
  change: words,
  note,
  parts: typedParts,
});
const buildEdit = z.object({
  name: name.optional(),
  change: words.optional(),
  note: note.optional(),
  parts: typedParts.optional(),
});
const shockEdit = z.object({ name: name.optional(), note: note.optional() });
const params = z.object({ id: idInText });

/** Making builds and saying things of them. Every change is an edit that can be undone. */
export function buildRoutes(server: FastifyInstance, logbook: Logbook, hub: LiveHub): void {
  const told = () => hub.publish('logbook', { reason: 'the logbook was edited' });

  server.post('/api/builds', { schema: { body: newBuild } }, (request, reply) => {
    const { note: said, parts, ...build } = request.body as z.output<typeof newBuild>;
    const id = enterBuild(logbook, build, 'body', { ...parts, ...(said && { note: said }) });
    told();
    return reply.code(201).send({ id } satisfies MadeBody);
  });

  server.post('/api/builds/:id', { schema: { params, body: buildEdit } }, (request, reply) => {
    const build = knownBuild(logbook, (request.params as z.output<typeof params>).id, 'params.id');
    const { name, change, note, parts } = request.body as z.output<typeof buildEdit>;
    const others = Object.entries(build.properties).filter(([key]) => !partKeys.includes(key));
    const kept = parts ? { ...Object.fromEntries(others), ...parts } : build.properties;
    logbook.editBuild(build.id, { name, change, properties: noted(kept, note) });
    told();
    return reply.code(204).send();
  });

  server.post('/api/shocks/:id', { schema: { params, body: shockEdit } }, (request, reply) => {
    const { id } = request.params as z.output<typeof params>;
    const { name, note } = request.body as z.output<typeof shockEdit>;
    const properties = logbook.listShocks().find((shock) => shock.id === id)?.properties ?? {};
    logbook.editShock(id as ShockId, { name, properties: noted(properties, note) });
    told();
    return reply.code(204).send();
  });
}

/** An empty note is none. */
function noted({ note: _, ...properties }: Properties, note: string | undefined): Properties {
  const said = note ?? _;
  return { ...properties, ...(said !== undefined && said !== '' && { note: said }) };
}
