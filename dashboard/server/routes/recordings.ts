import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { mostRemounts } from '../../../analysis/index.js';
import { type Logbook, listPorts, type RecordingId } from '../../../daq/index.js';
import { sittingQuestions } from '../../answers/index.js';
import type { PortsBody, StartRecordingBody } from '../api.js';
import { knownBuild, requireOrigin } from '../builds-of-requests.js';
import { requestError } from '../errors.js';
import { requireThisMachine } from '../guard.js';
import { requireListedPort } from '../listed-ports.js';
import type { LiveHub } from '../live-hub.js';
import { practiceBuilds } from '../practice-rig.js';
import { apiProcedures, procedureIds } from '../procedure-choices.js';
import type { RecordingSession } from '../recording-session.js';
import { idInText } from '../validation.js';

const label = z.string('a text').trim().min(1, 'at least one character').max(80, 'at most 80 characters');

const startBody = z.object({
  rig: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('port'), path: z.string().min(1).max(200) }),
    z.object({ kind: z.literal('practice'), build: z.enum(practiceBuilds) }),
  ]),
  build: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('existing'), buildId: z.int().positive() }),
    z.object({
      kind: z.literal('new'),
      name: label,
      shock: z.string().trim().max(80),
      parentId: z.int().positive().nullable(),
      change: z.string().trim().max(200),
    }),
  ]),
  procedure: z.enum(procedureIds),
  cautionsRead: z.boolean(),
  asked: z
    .object({
      question: z.enum(sittingQuestions.map(({ id }) => id)),
      wanted_percent: z.number().positive().max(100),
      remounts: z.int().positive().max(mostRemounts),
    })
    .optional(),
});

/** Recording: what it can be made on, starting, stopping, and setting aside. */
export function recordingRoutes(
  server: FastifyInstance,
  parts: {
    readonly logbook: Logbook;
    readonly hub: LiveHub;
    readonly session: RecordingSession;
    readonly sitting: { cautionsRead: boolean };
  },
): void {
  const { logbook, hub, session, sitting } = parts;

  server.get(
    '/api/ports',
    async (): Promise<PortsBody> => ({
      ports: (await listPorts()).map(({ path, description }) => ({ path, about: description })),
      practice: practiceBuilds,
      procedures: apiProcedures,
    }),
  );

  server.post('/api/recordings', { schema: { body: startBody } }, async (request, reply) => {
    const wanted = request.body as StartRecordingBody;
    requireThisMachine(request);
    const { needsDrive, practiceOnly } = apiProcedures.find(({ id }) => id === wanted.procedure)!;
    if (wanted.rig.kind === 'port' && practiceOnly)
      throw requestError(409, {
        code: 'by-hand-only',
        found: 'springs or stops to be moved by the drive of a rig',
        wanted: 'the same by hand: a drive does not feel that the cell is at its end',
        where: 'body.procedure',
      });
    if (server.stands('listed-ports')) await requireListedPort(wanted.rig);
    if (wanted.build.kind === 'existing') knownBuild(logbook, wanted.build.buildId, 'body.build.buildId');
    else requireOrigin(logbook, wanted.build, 'body.build');
    sitting.cautionsRead ||= wanted.cautionsRead;
    if (wanted.rig.kind === 'port' && needsDrive && !sitting.cautionsRead)
      throw requestError(409, {
        code: 'cautions-not-read',
        found: 'a first drive command of this sitting',
        wanted: 'the cautions read and confirmed before it',
        where: 'body.cautionsRead',
      });
    // A page that is closed before it hears its lease could never let go of it.
    reply.raw.once('close', () => {
      if (session.state().phase === 'connecting' && !reply.raw.writableFinished) session.stop();
    });
    return reply.code(201).send(await session.start(wanted));
  });

  const leaseBody = z.object({ lease: z.string().max(80) });
  server.post('/api/recordings/current/lease', { schema: { body: leaseBody } }, (request) => {
    requireThisMachine(request);
    session.renewLease((request.body as z.output<typeof leaseBody>).lease);
    return session.state();
  });
  server.post('/api/recordings/current/stop', () => session.stop());
  server.post('/api/recordings/current/settle', () => session.settle());

  const fateSchema = {
    params: z.object({ id: idInText }),
    body: z.object({
      reason: z.string('a reason').trim().min(1, 'a reason').max(200, 'at most 200 characters'),
    }),
  };
  const fates = {
    discard: { decide: logbook.discardRecording, said: 'a recording was discarded' },
    keep: { decide: logbook.keepRecording, said: 'a recording was kept' },
  } as const;
  for (const [fate, { decide, said }] of Object.entries(fates))
    server.post(`/api/recordings/:id/${fate}`, { schema: fateSchema }, (request, reply) => {
      const { id } = request.params as z.output<typeof fateSchema.params>;
      const { reason } = request.body as z.output<typeof fateSchema.body>;
      decide(id as RecordingId, reason);
      const now = session.state();
      if (now.phase === 'done' && now.recordingId === id) session.settle();
      hub.publish('logbook', { reason: said });
      return reply.code(204).send();
    });
}
