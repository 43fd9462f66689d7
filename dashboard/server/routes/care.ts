import type { FastifyInstance } from 'fastify';
import * as z from 'zod';
import { hangingForce_N } from '../../../analysis/index.js';
import {
  careRuns,
  crankFrom,
  forceFrom,
  knownReadings,
  type Logbook,
  lengthsFrom,
  type RecordingId,
  type RigId,
  readCrankCsv,
  readKnownValuesCsv,
} from '../../../daq/index.js';
import { keptResults } from '../../answers/index.js';
import type { AnalysisCache } from '../analysis-cache.js';
import type {
  CareBody,
  CareFound,
  CarePlan,
  GuidedBody,
  GuidedStart,
  GuidedStartedBody,
  LearntBody,
  ReadingsBody,
  ReadProcedure,
  UnderBody,
} from '../api-care.js';
import { describeCare } from '../care/describe-care.js';
import { enterFound } from '../care/enter-found.js';
import type { GuidedCare } from '../care/guided-care.js';
import { crankPlan, lengthPlan, massPlan } from '../care/plan-of-care.js';
import { requestError } from '../errors.js';
import { requireThisMachine } from '../guard.js';
import { requireListedPort } from '../listed-ports.js';
import type { LiveHub } from '../live-hub.js';
import { remountsOf } from '../remounts.js';
import { idInText } from '../validation.js';

const positive = (wanted: string, most: number) =>
  z.number(wanted).positive(wanted).max(most, `${wanted}, at most ${most}`);
const several = (wanted: string, most: number) => z.array(positive(wanted, most)).max(40, 'at most 40');

const plan = z.object({
  masses_g: several('masses above 0 g', 1e6),
  lengths_mm: several('lengths above 0 mm', 1000),
  runs: z.int('a whole number of runs').min(1, 'at least one run').max(10, 'at most ten runs'),
  gravity_m_per_s2: z.number('m/s²').nullable(),
  latitude_deg: z
    .number('degrees')
    .min(-90, '−90 to 90 degrees')
    .max(90, '−90 to 90 degrees')
    .nullable()
    .default(null),
  height_m: z
    .number('metres')
    .min(-500, '−500 to 9000 m')
    .max(9000, '−500 to 9000 m')
    .nullable()
    .default(null),
  isPull: z.boolean(),
  massUncertainty_percent: positive('per cent above 0', 50).nullable().default(null),
  lengthUncertainty_mm: positive('mm above 0', 10).nullable().default(null),
  radius_mm: positive('mm above 0', 1000).nullable(),
  rod_mm: positive('mm above 0', 2000).nullable(),
  countsPerTurn: z.number('counts of a turn').nullable(),
  capacity_N: positive('newtons above 0', 1e5).nullable(),
  stroke_mm: positive('mm above 0', 1000).nullable(),
  forceLimit_N: positive('newtons above 0', 1e5).nullable().default(null),
  fastest_rev_per_s: positive('rev/s above 0', 100).nullable().default(null),
  isNewBaseline: z.boolean().default(false),
});
const startBody = z.object({
  what: z.enum(['setup', 'force', 'position', 'angle', 'lag', 'mass', 'check']),
  rig: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('port'), path: z.string().min(1).max(200) }),
    z.object({ kind: z.literal('practice') }),
  ]),
  plan,
  cautionsRead: z.boolean(),
});
const note = z.string('a note').trim().max(200, 'at most 200 characters').default('');
const readingsBody = z.object({
  what: z.enum(['force', 'position', 'angle']),
  rig: z.string('a name').trim().min(1, 'the name of the rig').max(80, 'at most 80 characters'),
  text: z.string('lines of readings').min(1, 'lines of readings').max(40_000, 'at most 40 000 characters'),
  plan,
  enter: z.boolean(),
  note,
});

export interface CareParts {
  readonly logbook: Logbook;
  readonly cache: AnalysisCache;
  readonly guided: GuidedCare;
  readonly hub: LiveHub;
  readonly sitting: { cautionsRead: boolean };
}

/** Looking after a rig: what is known of it, the procedures that find it out, and what they would change. */
export function careRoutes(server: FastifyInstance, parts: CareParts): void {
  const { logbook, cache, guided, hub, sitting } = parts;

  const careSchema = { querystring: z.object({ rig: idInText.optional() }) };
  server.get('/api/care', { schema: careSchema }, (request): CareBody => {
    const { rig } = request.query as z.output<typeof careSchema.querystring>;
    return describeCare(logbook, rig as RigId | undefined);
  });

  const underSchema = { querystring: z.object({ recording: idInText, version: idInText }) };
  server.get('/api/care/under', { schema: underSchema }, async (request): Promise<UnderBody> => {
    const { recording: id, version } = request.query as z.output<typeof underSchema.querystring>;
    const recording = logbook.findRecording(id as RecordingId);
    if (!recording || recording.rigId === null || recording.state === 'recording')
      throw requestError(404, {
        code: 'unknown-recording',
        found: `no ended recording ${id} of a rig`,
        wanted: 'a recording that a rig of this logbook made',
        where: 'query.recording',
      });
    const under = async (calibrationId: typeof recording.calibrationId) => {
      const body = await cache.analysisOf({ ...recording, calibrationId }, request.signal);
      return {
        version: logbook.findCalibration(calibrationId)!.version,
        analysis: body.ok ? body.analysis : null,
      };
    };
    const other = logbook.calibrationNamed(recording.rigId, version);
    return {
      recordingId: id,
      own: await under(recording.calibrationId),
      other: await under(other.id),
    };
  });

  const learnBody = z.object({ build: z.int('a build').positive('a build') });
  server.post('/api/care/learn', { schema: { body: learnBody } }, async (request): Promise<LearntBody> => {
    const { build } = request.body as z.output<typeof learnBody>;
    const { ids, analyses } = await remountsOf(logbook, cache, build, 'body.build', request.signal);
    const recordings = ids.map((id) => logbook.findRecording(id as RecordingId)!);
    const rigs = new Set(recordings.map(({ rigId }) => rigId));
    const [rigId] = rigs;
    if (rigId == null || rigs.size > 1 || recordings.length < 2)
      throw requestError(409, {
        code: 'nothing-to-learn',
        found: `${recordings.length} remounts, on ${rigId == null ? 'no rig' : `${rigs.size} rigs`}`,
        wanted: 'two remounts or more of one build on one rig',
        where: 'body.build',
      });
    if (logbook.checkStandardOf(rigId)?.buildId === build)
      throw requestError(409, {
        code: 'nothing-to-learn',
        found: 'the check standard, whose history is its own',
        wanted: 'a build of a shock',
        where: 'body.build',
      });
    logbook.inOneGo(() => {
      for (const [i, { id, calibrationId }] of recordings.entries())
        logbook.enterResults(id, calibrationId, keptResults(analyses[i]!));
    });
    hub.publish('logbook', { reason: 'a rig has learnt from remounts' });
    return { remounts: recordings.length, spreads: logbook.remountSpreadOf(rigId) };
  });

  server.get('/api/care/guided', (): GuidedBody => guided.state());
  server.post('/api/care/guided', { schema: { body: startBody } }, async (request, reply) => {
    const asked = request.body as GuidedStart;
    requireThisMachine(request);
    const { rig } = asked;
    if (server.stands('listed-ports')) await requireListedPort(rig);
    // Those about masses and the crank are others than the drive's, and are confirmed each time.
    const isRun = asked.what in careRuns;
    if (isRun) sitting.cautionsRead ||= asked.cautionsRead;
    if (rig.kind === 'port' && !(isRun ? sitting.cautionsRead : asked.cautionsRead))
      throw requestError(409, {
        code: 'cautions-not-read',
        found: 'a procedure at the rig',
        wanted: 'the cautions read and confirmed before it',
        where: 'body.cautionsRead',
      });
    const { body, lease } = await guided.start(asked);
    return reply.code(201).send({ ...body, lease } satisfies GuidedStartedBody);
  });

  const goBody = z.object({ measured_mm: z.number('mm').nullable().default(null) });
  server.post('/api/care/guided/go', { schema: { body: goBody } }, (request): GuidedBody => {
    requireThisMachine(request);
    const { measured_mm } = request.body as z.output<typeof goBody>;
    return guided.go(measured_mm === null ? null : measured_mm / 1000);
  });
  const leaseBody = z.object({ lease: z.string().max(80) });
  server.post('/api/care/guided/lease', { schema: { body: leaseBody } }, (request): GuidedBody => {
    requireThisMachine(request);
    guided.renewLease((request.body as z.output<typeof leaseBody>).lease);
    return guided.state();
  });
  const enterBody = z.object({ note });
  server.post(
    '/api/care/guided/enter',
    { schema: { body: enterBody } },
    (request): GuidedBody => guided.enter((request.body as z.output<typeof enterBody>).note),
  );
  server.post('/api/care/guided/leave', (): Promise<GuidedBody> => guided.leave());

  server.post(
    '/api/care/readings',
    { schema: { body: readingsBody } },
    async (request): Promise<ReadingsBody> => {
      const asked = request.body as z.output<typeof readingsBody>;
      const found = await foundInReadings(logbook, asked);
      if (!asked.enter) return { found, entered: null };
      const entered = enterFound(logbook, asked.rig, found, asked.note);
      hub.publish('logbook', { reason: 'a calibration was entered' });
      return { found, entered };
    },
  );
}

/** What typed readings come to, as from a file of the command. Throws what reading and fitting throw. */
async function foundInReadings(
  logbook: Logbook,
  { what, rig, text, plan: said }: { what: ReadProcedure; rig: string; text: string; plan: CarePlan },
): Promise<CareFound> {
  const source = { name: 'the readings', bytes: new TextEncoder().encode(text) };
  const asPart = ({ part, evidence }: ReturnType<typeof forceFrom | typeof lengthsFrom | typeof crankFrom>) =>
    ({ kind: 'part', part, evidence }) as const;
  if (what === 'angle') {
    const { counts, position_m } = await readCrankCsv(source);
    return asPart(crankFrom(counts, position_m, crankPlan(said)));
  }
  const file = await readKnownValuesCsv(source, what === 'force' ? ['mass', 'force'] : ['length']);
  if (!file.readings_counts)
    throw requestError(400, {
      code: 'bad-request',
      found: 'no column of readings',
      wanted: 'reading_counts beside each value',
      where: 'body.text',
    });
  if (what === 'position') {
    const { lengthUncertainty_m } = lengthPlan(said);
    return asPart(
      lengthsFrom(
        knownReadings(file, (value) => value),
        { lengthUncertainty_m },
      ),
    );
  }
  const rigId = logbook.findRig(rig);
  const profile = (rigId && logbook.rigProfile(rigId)?.profile) ?? null;
  const conditions = massPlan(said, profile);
  const readings = knownReadings(file, (value) =>
    file.quantity === 'force' ? value : conditions.sense * hangingForce_N(value, conditions.gravity_m_per_s2),
  );
  return asPart(forceFrom(readings, conditions));
}
