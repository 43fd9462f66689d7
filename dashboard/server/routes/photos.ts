import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { type Logbook, MOST_PHOTO_BYTES, type PhotoId } from '../../../daq/index.js';
import type { MadeBody } from '../api.js';
import { knownBuild } from '../builds-of-requests.js';
import { requestError } from '../errors.js';
import type { LiveHub } from '../live-hub.js';
import { bytesOf } from '../uploads.js';
import { idInText } from '../validation.js';

const params = z.object({ id: idInText });
const about = z.object({
  name: z.string('the name of the file').max(200).default('photo'),
  caption: z.string('a text').trim().max(200, 'at most 200 characters').default(''),
});
const captionBody = z.object({ caption: about.shape.caption });

/** Photos of builds: bytes in, judged by what they are; the same bytes out, as a picture and nothing else. */
export function photoRoutes(server: FastifyInstance, logbook: Logbook, hub: LiveHub): void {
  const told = () => hub.publish('logbook', { reason: 'photos changed' });

  server.post(
    '/api/builds/:id/photos',
    { schema: { params, querystring: about }, bodyLimit: MOST_PHOTO_BYTES + 1 },
    (request, reply) => {
      const { id } = request.params as z.output<typeof params>;
      const { name, caption } = request.query as z.output<typeof about>;
      const build = knownBuild(logbook, id, 'params.id');
      const photo = logbook.addPhoto(build.id, bytesOf(request), caption, name);
      told();
      return reply.code(201).send({ id: photo.id } satisfies MadeBody);
    },
  );

  server.post('/api/photos/:id', { schema: { params, body: captionBody } }, (request, reply) => {
    const { id } = request.params as z.output<typeof params>;
    logbook.captionPhoto(id as PhotoId, (request.body as z.output<typeof captionBody>).caption);
    told();
    return reply.code(204).send();
  });

  server.get('/api/photos/:id', { schema: { params } }, (request, reply) => {
    const { id } = request.params as z.output<typeof params>;
    if (!logbook.listPhotos().some((photo) => photo.id === id))
      throw requestError(404, {
        code: 'unknown-photo',
        found: `no photo ${id}`,
        wanted: 'a photo of this logbook',
        where: 'params.id',
      });
    const { photo, content } = logbook.readPhoto(id as PhotoId);
    // Opened by itself it is a picture in a page that may do nothing, whatever its bytes hold besides.
    return reply
      .type(photo.mediaType)
      .header('content-security-policy', "default-src 'none'; sandbox")
      .header('x-content-type-options', 'nosniff')
      .header('content-disposition', `inline; filename="photo-${id}"`)
      .send(content);
  });
}
