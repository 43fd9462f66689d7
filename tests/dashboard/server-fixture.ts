import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import type { InjectOptions } from 'light-my-request';
import type { Estimate, RecordingAnalysis } from '../../analysis/index.js';
import { capture, type Logbook, openLogbook } from '../../daq/index.js';
import type { AnalysisBody } from '../../dashboard/server/api.js';
import { createServerWithout } from '../../dashboard/server/create-server.js';
import type { Guard } from '../../dashboard/server/guards.js';
import type { ServerOptions } from '../../dashboard/server/index.js';
import { answersHere } from '../../dashboard/workers/answer-work.js';
import { tracesOf } from '../../dashboard/workers/traced.js';

/** A server on a logbook of its own, in a folder that goes when it is closed. */
export interface Bench {
  readonly server: FastifyInstance;
  readonly logbook: Logbook;
  /** Recordings that were analysed, in order. */
  readonly analysed: number[];
  get(
    url: string,
    headers?: Record<string, string>,
  ): Promise<{ status: number; body: unknown; text: string }>;
  post(url: string, payload?: unknown): Promise<{ status: number; body: unknown; text: string }>;
  close(): Promise<void>;
}

/** @param away guards that do not stand, to see what each of them is for */
export function openBench(options: Partial<ServerOptions> = {}, away: readonly Guard[] = []): Bench {
  const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-server-'));
  const logbook = openLogbook(join(folder, 'logbook.sqlite'));
  const analysed: number[] = [];
  const server = createServerWithout(away, {
    logbook,
    version: '0.0.0-test',
    practicePace: 'simulated',
    pageFolder: false,
    // Stands still: a page of these tests never loses its drive unless the test says so.
    clock: { now_ms: () => 0, after: () => () => {} },
    analyse: async (recordingId) => {
      analysed.push(recordingId);
      return inventedBody(recordingId);
    },
    answer: answersHere(tracesOf(logbook)),
    ...options,
  });
  const answer = async (request: InjectOptions) => {
    const response = await server.inject({ ...request, headers: { host: '127.0.0.1', ...request.headers } });
    const isJson = String(response.headers['content-type']).includes('json') && response.body !== '';
    return {
      status: response.statusCode,
      text: response.body,
      body: isJson ? (response.json() as unknown) : null,
    };
  };
  return {
    server,
    logbook,
    analysed,
    get: (url, headers = {}) => answer({ method: 'GET', url, headers }),
    post: (url, payload = {}) => answer({ method: 'POST', url, payload: payload as object }),
    async close() {
      await server.close();
      logbook.close();
      rmSync(folder, { recursive: true });
    },
  };
}

/** Two builds of one shock with imported recordings of nothing much: what counts here is who they belong to. */
export function enterTwoBuilds(logbook: Logbook, remounts = 3) {
  const shock = logbook.createShock({ name: 'invented shock' });
  const before = logbook.createBuild({ shockId: shock.id, name: 'old seal', properties: { oil: 'thin' } });
  const after = logbook.createBuild({
    shockId: shock.id,
    name: 'new seal',
    parentBuildId: before.id,
    change: 'seal swapped',
  });
  const record = (buildId: typeof before.id) =>
    logbook.importRecording(
      {
        buildId,
        procedure: { ...capture('speed-ladder', null), happened: [], events: [] },
        startedAt: '2026-01-02T03:04:05.000Z',
        source: '/somewhere/private/ladder.csv',
      },
      [
        { kind: 'force', unit: 'N', times_s: Float64Array.of(0, 0.1), values: Float64Array.of(0, 1) },
        { kind: 'position', unit: 'm', times_s: Float64Array.of(0, 0.1), values: Float64Array.of(0, 0.01) },
      ],
    );
  return {
    before: { ...before, recordings: Array.from({ length: remounts }, () => record(before.id)) },
    after: { ...after, recordings: Array.from({ length: remounts }, () => record(after.id)) },
  };
}

/** A rig whose recordings are those of two builds, with a calibration and another after it. */
export function rigWithTwoBuilds(logbook: Logbook, remountsAfter = 1) {
  const rigId = logbook.rigNamed('bench rig');
  const scale = (newton_per_count: number) => ({
    force: { newton_per_count, zero_counts: 0 },
    position: { metre_per_count: 4e-6, zero_counts: 0 },
  });
  const { id: calibrationId } = logbook.addCalibration(rigId, scale(4e-5), 'first');
  const { id: shockId } = logbook.createShock({ name: 'invented' });
  const record = (name: string, remounts: number) => {
    const { id: buildId } = logbook.createBuild({ shockId, name });
    const ids = Array.from({ length: remounts }, () => {
      const id = logbook.startRecording({
        buildId,
        rigId,
        calibrationId,
        procedure: { name: 'unknown', steps: [], duration_s: 1, happened: [], events: [] },
        startedAt: '2026-01-02T03:04:05.000Z',
        identity: null,
        simulated: false,
      });
      logbook.finishRecording(id, { state: 'complete' });
      return id;
    });
    return { buildId, ids };
  };
  const [before, after] = [record('before', 1), record('after', remountsAfter)];
  return { rigId, calibrationId, before, after, record, scale };
}

/** An analysis made up from a recording's number alone. */
export function inventedBody(recordingId: number): AnalysisBody {
  const points = [0, 1, 2].map((i) => i * recordingId);
  return {
    ok: true,
    recordingId,
    analysis: inventedAnalysis(recordingId),
    picture: {
      points: {
        time_s: points,
        position_m: points,
        velocity_m_per_s: points,
        force_N: points,
        residual_N: points,
        frictional_N: points,
      },
      total: [],
    },
  };
}

export function inventedAnalysis(recordingId: number): RecordingAnalysis {
  const near = (value: number): Estimate => ({
    value,
    standardError: 0.01,
    low95: value - 0.02,
    high95: value + 0.02,
  });
  const isOld = recordingId <= 3;
  const none = { linear_Ns_per_m: null, quadratic_Ns2_per_m2: null };
  return {
    samples: 2000,
    cycles: 20,
    procedure: 'speed-ladder',
    friction: {
      mean_N: near((isOld ? 1.4 : 1) + 0.01 * (recordingId % 3)),
      compression_N: null,
      rebound_N: null,
      breakaway_N: near(isOld ? 1.9 : 1.3),
    },
    damping: { compression: none, rebound: none, curve: [] },
    gas: { offset_N: null, rate_N_per_mm: null },
    rig: { lag_ms: null, kernel: 'none', movingMass_kg: null },
    temperature_degC: 23,
    residual_N: 0.02,
    notIdentified: ['friction.compression_N', 'friction.rebound_N'],
    findings: [],
  };
}
