import { randomUUID } from 'node:crypto';
import { basename } from 'node:path';
import fastify, { type FastifyInstance } from 'fastify';
import { type HostClock, type Logbook, type RecordingId, realHostClock } from '../../daq/index.js';
import { analysisThread } from '../workers/analysis-thread.js';
import { answerThread } from '../workers/answer-thread.js';
import type { AnswerFunction } from '../workers/answer-work.js';
import { analysisCache } from './analysis-cache.js';
import { answersFrom } from './answers.js';
import type { AnalysisBody, StateBody } from './api.js';
import { guidedCare } from './care/guided-care.js';
import { answerError, requestError } from './errors.js';
import { guardRequests } from './guard.js';
import { type Guard, putUpGuards } from './guards.js';
import { keepLogbook } from './keep-logbook.js';
import { liveEstimates } from './live-estimates.js';
import { createLiveHub } from './live-hub.js';
import { watchLogbook } from './logbook-watch.js';
import { isFromThisMachine } from './network/origin-of-request.js';
import { NETWORK_CAUTION, pairRoutes } from './network/pair-page.js';
import { pairing } from './network/pairing.js';
import { servePage } from './page-files.js';
import { practiceRig } from './practice-rig.js';
import { recordingSession } from './recording-session.js';
import { analysisRoutes } from './routes/analyses.js';
import { careRoutes } from './routes/care.js';
import { cornerRoute } from './routes/corner.js';
import { liveRoute } from './routes/live.js';
import { logbookRoutes } from './routes/logbook.js';
import { moreRemountsRoute } from './routes/more-remounts.js';
import { nextStepRoutes } from './routes/next-step.js';
import { openApiRoute } from './routes/openapi.js';
import { recordingRoutes } from './routes/recordings.js';
import { rigRoutes } from './routes/rigs.js';
import { springAndTravelRoutes } from './routes/spring-and-travel.js';
import { tableRoutes } from './routes/tables.js';
import { securityHeaders } from './security-headers.js';
import { useZodSchemas } from './validation.js';

export interface ServerOptions {
  /** Open for writing, or the page cannot record. The caller closes it, after the server. */
  readonly logbook: Logbook;
  /** Of this program, for the page to show. */
  readonly version: string;
  /** Makes an analysis; a thread on the logbook's file where it is left out. */
  readonly analyse?: (
    recordingId: number,
    signal: AbortSignal,
    calibrationId?: number,
  ) => Promise<AnalysisBody>;
  /** Works out an answer from analyses; a thread where it is left out. */
  readonly answer?: AnswerFunction;
  /** Of the simulated rig; people watch it in real pace. */
  readonly practicePace?: 'real' | 'simulated';
  /** Measures how long the page that started a drive has been silent; the wall's where it is left out. */
  readonly clock?: HostClock;
  /** Where the built page lies; false serves the API alone. */
  readonly pageFolder?: string | false;
  /** Lets paired browsers of the home network look as well; for this machine alone where it is left out. */
  readonly network?: NetworkOptions;
  /** Write the server's log to standard error. */
  readonly log?: boolean;
}

export interface NetworkOptions {
  /** Of this machine in its home network. */
  readonly addresses: readonly string[];
  /** Shows on this machine the code that lets a browser in. */
  readonly showCode: (code: string) => void;
}

const MOST_BODY_BYTES = 64 * 1024;
/** Time for a request to arrive whole; one that comes a byte at a time would hold its connection for ever. */
const REQUEST_WITHIN_MS = 30_000;

/**
 * Makes the local server: the API and the built page. It answers loopback names only, unless a network is named;
 * `listen` binds it.
 * @returns a Fastify instance; its `close` stops a recording under way and waits until the logbook has it
 */
export const createServer = (options: ServerOptions): FastifyInstance => createServerWithout([], options);

/** The server with some of its guards away: for tests that show what each of them is for. */
export function createServerWithout(away: readonly Guard[], options: ServerOptions): FastifyInstance {
  const { logbook, version } = options;
  const clock = options.clock ?? realHostClock;
  const server = fastify({
    bodyLimit: away.includes('body-size') ? Number.MAX_SAFE_INTEGER : MOST_BODY_BYTES,
    requestTimeout: REQUEST_WITHIN_MS,
    logger: options.log === true ? { level: 'warn', stream: process.stderr } : false,
    forceCloseConnections: true,
  });
  putUpGuards(server, away);
  const hub = createLiveHub(randomUUID().slice(0, 8));
  const analysing = analysisThread(logbook.path, (recordingId, share) =>
    hub.publish('analysis', { recordingId, share }),
  );
  // Of its own, so that what was asked for elsewhere does not hold up what a recording says so far.
  const following = analysisThread(logbook.path);
  const answering = answerThread(logbook.path);
  const methodVersion = version;
  const estimates = liveEstimates(
    (recordingId) => (options.analyse ?? following.analyse)(recordingId, new AbortController().signal),
    (estimate) => hub.publish('estimate', estimate),
    clock,
  );
  const analyse = options.analyse ?? analysing.analyse;
  const cache = analysisCache((id, signal, calibrationId) => {
    const isOwn = logbook.findRecording(id as RecordingId)?.calibrationId === calibrationId;
    return (isOwn && estimates.lastOf(id)) || analyse(id, signal, calibrationId);
  }, methodVersion);
  const answers = answersFrom(options.answer ?? answering.answer);
  const practicePace = options.practicePace ?? 'real';
  const practice = practiceRig(practicePace);
  const session = recordingSession({
    logbook,
    hub,
    practice,
    estimates,
    clock,
  });
  const guided = guidedCare({
    logbook,
    seed: practice.seed,
    pace: practicePace,
    clock,
    onEntered: () => hub.publish('logbook', { reason: 'the rig was looked after' }),
  });
  const sitting = { cautionsRead: false };

  if (server.stands('json-bodies')) server.removeContentTypeParser('text/plain');
  server.setErrorHandler(answerError);
  server.setNotFoundHandler((request) => {
    throw requestError(404, {
      code: 'not-found',
      found: `nothing at ${request.url.split('?')[0]}`,
      wanted: 'a place of this page or a route below /api',
      where: `${request.method} ${request.url.split('?')[0]}`,
    });
  });
  useZodSchemas(server);
  const door = options.network && {
    addresses: options.network.addresses,
    pairing: pairing({
      clock,
      show: options.network.showCode,
      countsTries: server.stands('few-tries'),
    }),
  };
  guardRequests(server, door ?? null);
  server.addHook('onSend', async (request, reply) => {
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  const stopWatching = watchLogbook(logbook, clock, () =>
    hub.publish('logbook', { reason: 'another program wrote to it' }),
  );
  server.addHook('preClose', async () => {
    stopWatching();
    await Promise.all([session.close(), guided.close()]);
  });
  server.addHook('onClose', async () => {
    await Promise.all([analysing.close(), following.close(), answering.close()]);
  });

  server.register(async (scope) => {
    if (server.stands('page-policy')) await securityHeaders(scope);
    if (door) pairRoutes(scope, door.pairing);
    openApiRoute(scope, version);
    scope.get(
      '/api/state',
      (request): StateBody => ({
        version,
        methodVersion,
        logbook: basename(logbook.path),
        cautionsRead: sitting.cautionsRead,
        session: session.state(),
        caution: isFromThisMachine(request) ? null : NETWORK_CAUTION,
      }),
    );
    logbookRoutes(scope, logbook);
    const isRecording = () => session.isRecording() || guided.isRecording();
    keepLogbook(scope, { logbook, hub, isRecording });
    analysisRoutes(scope, { logbook, cache, answers });
    recordingRoutes(scope, { logbook, hub, session, sitting });
    rigRoutes(scope, logbook);
    careRoutes(scope, { logbook, cache, guided, hub, sitting });
    liveRoute(scope, hub, session.state, estimates.soFar);
    tableRoutes(scope, { logbook, cache, answers });
    nextStepRoutes(scope, { logbook, cache, answers });
    springAndTravelRoutes(scope, { logbook, cache, answers });
    cornerRoute(scope, { logbook, cache, answers });
    moreRemountsRoute(scope, { logbook, cache, answers });
    if (options.pageFolder !== false) await servePage(scope, options.pageFolder);
  });
  return server;
}
