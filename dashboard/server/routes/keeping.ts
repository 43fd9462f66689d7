import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { type BinnedKind, DaqError, type Logbook, type ShelfKind, shelfPart } from '../../../daq/index.js';
import { oilsOf } from '../../answers/index.js';
import type { KeepingBody } from '../api.js';
import { describeKeeping, splitItem } from '../describe-keeping.js';
import { requestError } from '../errors.js';
import type { LiveHub } from '../live-hub.js';

const kinds = ['build', 'recording', 'photo', 'shelf'] as const satisfies readonly BinnedKind[];
const shelfKinds = ['oil', 'piston', 'seal', 'spring', 'drill'] as const satisfies readonly ShelfKind[];

const editBody = z.object({ editId: z.int('an edit').positive('an edit') });
const itemBody = z.object({
  kind: z.enum(kinds, `one of ${kinds.join(', ')}`),
  item: z.string('what is meant').min(1, 'what is meant').max(200, 'at most 200 characters'),
  reason: z.string('a reason').trim().max(200, 'at most 200 characters').default(''),
});
const emptyBody = z.object({ count: z.int('how many things are in it').positive('at least one thing') });
const shelfBody = z.object({
  kind: z.enum(shelfKinds, `one of ${shelfKinds.join(', ')}`),
  part: z.looseObject({ name: z.string('a name').max(80, 'at most 80 characters') }),
});

/** The history, the bin and the shelf. */
export function keepingRoutes(server: FastifyInstance, logbook: Logbook, hub: LiveHub): void {
  const told = (): KeepingBody => {
    hub.publish('logbook', { reason: 'the logbook was edited' });
    return describeKeeping(logbook);
  };

  server.get('/api/keeping', (): KeepingBody => describeKeeping(logbook));

  server.post('/api/keeping/undo', { schema: { body: editBody } }, (request) => {
    logbook.undoEdit((request.body as z.output<typeof editBody>).editId);
    return told();
  });
  server.post('/api/keeping/redo', { schema: { body: editBody } }, (request) => {
    logbook.redoEdit((request.body as z.output<typeof editBody>).editId);
    return told();
  });

  server.post('/api/bin', { schema: { body: itemBody } }, (request) => {
    const { kind, item, reason } = request.body as z.output<typeof itemBody>;
    const [shelfKind, name] = splitItem(item);
    if (kind === 'build') logbook.binBuild(Number(item) as never);
    else if (kind === 'photo') logbook.binPhoto(Number(item) as never);
    else if (kind === 'recording') logbook.discardRecording(Number(item) as never, reason);
    else logbook.removeFromShelf(shelfKind as ShelfKind, name);
    return told();
  });
  server.post('/api/bin/restore', { schema: { body: itemBody } }, (request) => {
    const { kind, item } = request.body as z.output<typeof itemBody>;
    const [shelfKind, name] = splitItem(item);
    if (kind === 'build') logbook.restoreBuild(Number(item) as never);
    else if (kind === 'photo') logbook.restorePhoto(Number(item) as never);
    else if (kind === 'recording') logbook.restoreRecording(Number(item) as never);
    else logbook.restoreToShelf(shelfKind as ShelfKind, name);
    return told();
  });
  server.post('/api/bin/empty', { schema: { body: emptyBody } }, (request) => {
    logbook.emptyBin((request.body as z.output<typeof emptyBody>).count);
    return told();
  });

  server.post('/api/shelf', { schema: { body: shelfBody } }, async (request) => {
    const { kind, part: said } = request.body as z.output<typeof shelfBody>;
    const part = await inWords(() => shelfPart(kind, said));
    // What one oil is measured against must be there, and no oil may make no sense.
    if (kind === 'oil') {
      const others = logbook.readShelf().oils.filter((oil) => oil.name !== part.name);
      const made = oilsOf([...others, { ...part }]);
      if (!made.ok) throw requestError(400, { ...made.refusal, where: 'body.part.oil_cSt' });
    }
    logbook.putOnShelf(kind, part);
    return told();
  });
}

/** A refusal of the shelf's own check, with its key as a place in the body. */
async function inWords<T>(check: () => Promise<T>): Promise<T> {
  try {
    return await check();
  } catch (error) {
    if (!(error instanceof DaqError)) throw error;
    const { found, wanted, key = 'name' } = error.detail;
    throw requestError(400, { code: 'bad-request', found, wanted, where: `body.part.${key}` });
  }
}
