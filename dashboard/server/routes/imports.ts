import { setTimeout as pause } from 'node:timers/promises';
import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import type { TraceInput } from '../../../analysis/index.js';
import {
  type CsvReading,
  guessCsv,
  importedChannels,
  type Logbook,
  readStatedCsv,
  TRACE_QUANTITIES,
  type TraceQuantity,
  unitsOf,
} from '../../../daq/index.js';
import type { ApiError, ApiSeen, ImportedBody, ImportPreviewBody } from '../api.js';
import { knownBuild } from '../builds-of-requests.js';
import { codedDetail, requestError } from '../errors.js';
import type { LiveHub } from '../live-hub.js';
import { bytesOf } from '../uploads.js';
import { idInText } from '../validation.js';

/** Half an hour at a thousand rows a second. */
const MOST_FILE_BYTES = 64 * 1024 * 1024;
/** The beginning of a file, for looking at it. */
const MOST_HEAD_BYTES = 256 * 1024;
/** Some turns of the event loop, in which a connection that ended is told. */
const HEARD_MS = 10;

const readingShape = z.object({
  delimiter: z.enum([',', ';', '\t'], 'a comma, semicolon or tab'),
  decimalMark: z.enum(['.', ','], 'a point or comma'),
  headerLines: z.int('a number of lines').min(0).max(1000, 'at most 1000 lines'),
  cells: z.int('a number of cells').min(2, 'at least two cells').max(1000, 'at most 1000 cells'),
  columns: z
    .array(
      z.object({
        cell: z.int().min(0).max(999),
        name: z.string().max(200),
        quantity: z.enum(TRACE_QUANTITIES, `one of ${TRACE_QUANTITIES.join(', ')}`),
        unit: z.string('a unit').max(20),
      }),
    )
    .max(20),
});

/** A statement of how to read, as JSON in the query, since the body is the file. */
const reading = z
  .string('how to read the file')
  .max(4000)
  .transform((text, context) => {
    try {
      return JSON.parse(text) as unknown;
    } catch {
      context.addIssue({ code: 'custom', message: 'JSON' });
      return z.NEVER;
    }
  })
  .pipe(readingShape);

const name = z.string('the name of the file').trim().min(1, 'a name').max(200, 'at most 200 characters');
const previewQuery = z.object({ name, reading: reading.optional() });
const importQuery = z.object({
  name,
  reading,
  build: idInText,
  modified: z.iso.datetime('when the file was last written, as ISO 8601 in UTC'),
});

/** Recordings from foreign files: looked at first, then taken in as their owner confirmed. */
export function importRoutes(
  server: FastifyInstance,
  parts: { readonly logbook: Logbook; readonly hub: LiveHub; readonly isRecording: () => boolean },
): void {
  const { logbook, hub, isRecording } = parts;

  server.post(
    '/api/imports/preview',
    { schema: { querystring: previewQuery }, bodyLimit: MOST_HEAD_BYTES },
    async (request): Promise<ImportPreviewBody> => {
      const { name, reading: stated } = request.query as z.output<typeof previewQuery>;
      const head = { name: baseName(name), bytes: wholeLines(bytesOf(request)) };
      const { reading: guessed, ...guess } = guessCsv(head);
      const wanted: CsvReading = stated ?? guessed;
      const units = Object.fromEntries(
        TRACE_QUANTITIES.map((quantity) => [quantity, Object.keys(unitsOf(quantity))]),
      ) as Record<TraceQuantity, string[]>;
      return { ...guess, reading: wanted, units, ...(await seenOrRefusal(head, wanted)) };
    },
  );

  server.post(
    '/api/imports',
    { schema: { querystring: importQuery }, bodyLimit: MOST_FILE_BYTES },
    async (request, reply) => {
      const { name, reading, build, modified } = request.query as z.output<typeof importQuery>;
      requireQuietBench(isRecording());
      let isCalledOff = false;
      reply.raw.once('close', () => (isCalledOff = true));
      const file = baseName(name);
      const startedAt = new Date(modified).toISOString();
      const { id: buildId } = knownBuild(logbook, build, 'query.build');
      requireNew(file, startedAt);
      const trace = await readStatedCsv({ name: file, bytes: bytesOf(request) }, reading);
      // Reading holds up all else: that whoever wanted it has called it off meanwhile is heard only after it.
      await pause(HEARD_MS);
      if (isCalledOff)
        throw requestError(409, {
          code: 'stopped',
          found: 'an import that was called off while the file was read',
          wanted: 'one that somebody waits for; nothing of it is in the logbook',
          where: file,
        });
      const id = logbook.inOneGo(() => {
        const id = logbook.importRecording(
          {
            buildId,
            procedure: { name: 'unknown', steps: [], duration_s: null, happened: [], events: [] },
            // A file does not say when it was recorded; when it was last written is the nearest there is.
            startedAt,
            source: file,
          },
          importedChannels(trace),
        );
        logbook.noteImport([id]);
        return id;
      });
      hub.publish('logbook', { reason: 'a recording was imported' });
      const { remount } = logbook.findRecording(id)!;
      const rows = Math.max(trace.force.time_s.length, trace.position.time_s.length);
      return reply.code(201).send({ recordingId: id, remount, rows } satisfies ImportedBody);
    },
  );

  /** Twice the same recording would pass for two remounts, and make a difference look surer than it is. */
  function requireNew(source: string, startedAt: string): void {
    const same = logbook
      .listRecordings()
      .find((recording) => recording.source === source && recording.startedAt === startedAt);
    if (same)
      throw requestError(409, {
        code: 'name-taken',
        found: `the same file in the logbook already, as remount ${same.remount} of '${same.buildName}'`,
        wanted: 'another recording: one that counts twice makes differences look surer than they are',
        where: source,
      });
  }
}

/** A long file takes a second to read, in which a drive's heartbeats would fail to come. */
function requireQuietBench(isRecording: boolean): void {
  if (!isRecording) return;
  throw requestError(409, {
    code: 'busy',
    found: 'a recording under way',
    wanted: 'imports when it has ended',
    where: 'this server',
  });
}

async function seenOrRefusal(
  head: { readonly name: string; readonly bytes: Uint8Array },
  reading: CsvReading,
): Promise<{ readonly seen: ApiSeen | null; readonly refusal: ApiError | null }> {
  try {
    return { seen: seenIn(await readStatedCsv(head, reading)), refusal: null };
  } catch (error) {
    const refusal = codedDetail(error, head.name);
    if (!refusal) throw error;
    return { seen: null, refusal };
  }
}

function seenIn({ force, position, temperature }: TraceInput): ApiSeen {
  const { time_s } = force.time_s.length >= position.time_s.length ? force : position;
  const duration_s = time_s.at(-1)! - time_s[0]!;
  return {
    rows: time_s.length,
    rate_Hz: time_s.length > 1 ? (time_s.length - 1) / duration_s : null,
    position_mm: rangeOf(position.position_m, 1000),
    force_N: rangeOf(force.force_N, 1),
    temperature_degC: temperature ? rangeOf(temperature.temperature_degC, 1) : null,
  };
}

function rangeOf(values: ArrayLike<number>, factor: number): [low: number, high: number] {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 0; i < values.length; i++) {
    low = Math.min(low, values[i]! * factor);
    high = Math.max(high, values[i]! * factor);
  }
  return low <= high ? [low, high] : [0, 0];
}

/** A head was cut somewhere; its last line may be half a line. */
function wholeLines(bytes: Uint8Array): Uint8Array {
  if (bytes.length < MOST_HEAD_BYTES / 2) return bytes;
  return bytes.subarray(0, bytes.lastIndexOf(0x0a) + 1);
}

/** A name for messages and lists; whatever folders it names are nobody's business. */
const baseName = (name: string): string => name.split(/[\\/]/).at(-1)!;
