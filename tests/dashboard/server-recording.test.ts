import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { analyzeRecording, makeTrace } from '../../analysis/index.js';
import { capture, type RecordingId, type RigProfile } from '../../daq/index.js';
import { simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { type LiveEstimate, liveEstimate } from '../../dashboard/answers/index.js';
import type {
  BuildsBody,
  PortsBody,
  RigsBody,
  StartRecordingBody,
  StateBody,
} from '../../dashboard/server/api.js';
import { analysisBody } from '../../dashboard/workers/analysis-body.js';
import { type LiveEvent, openLive } from './live-events.js';
import { type Bench, inventedBody, openBench } from './server-fixture.js';

const firstBuild: StartRecordingBody = {
  rig: { kind: 'practice', build: 'draggy-seal' },
  build: { kind: 'new', name: 'as it came', shock: 'front left', parentId: null, change: '' },
  procedure: 'speed-ladder',
  cautionsRead: false,
};

const turnedByHand: RigProfile = {
  forceSign: 1,
  positionSign: 1,
  fullExtension_counts: 0,
  forceZero_counts: 0,
  cellCapacity_N: 98,
  forceLimit_N: 58,
  stroke_m: 0.024,
  drive: null,
  temperature: 'manual',
  gravity_m_per_s2: null,
};

const isPhase = (phase: string) => (event: LiveEvent) =>
  event.name === 'session' && event.data.phase === phase;

let bench: Bench;
beforeEach(() => {
  bench = openBench();
});
afterEach(() => bench.close());

const builds = async () => ((await bench.get('/api/builds')).body as BuildsBody).builds;

describe('recording on the practice rig', () => {
  it('enters a new build, streams the traces, and ends complete and marked as simulated', async () => {
    const live = await openLive(bench);
    const { status, body } = await bench.post('/api/recordings', firstBuild);
    expect(status).toBe(201);
    expect(body).toMatchObject({ phase: 'recording', rig: 'the practice rig', duration_s: 24 });

    const done = await live.until(isPhase('done'));
    expect(done.data).toMatchObject({ state: 'complete', trouble: null });
    const [build] = await builds();
    expect(build).toMatchObject({ name: 'as it came', parentId: null });
    expect(build!.recordings).toMatchObject([
      {
        id: done.data.recordingId,
        state: 'complete',
        simulated: true,
        remount: 1,
        procedure: 'speed-ladder',
      },
    ]);

    const forces = live.seen
      .filter(({ name }) => name === 'samples')
      .flatMap(({ data }) => (data.force as { time_s: number[] }).time_s);
    expect(forces.length).toBeGreaterThan(24 * 300);
    expect(forces.every((time_s, i) => i === 0 || time_s > forces[i - 1]!)).toBe(true);
    expect(live.seen.map(({ name }) => name)).toContain('logbook');
    live.leave();
  });

  it('goes on from one build to the next by what changed, each mounting a remount of its own', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    await live.until(isPhase('done'));
    const [first] = await builds();
    for (const build of [
      { kind: 'existing', buildId: first!.id },
      { kind: 'new', name: 'new seal', shock: '', parentId: first!.id, change: 'seal swapped' },
    ]) {
      await bench.post('/api/recordings/current/settle');
      live.seen.length = 0;
      await bench.post('/api/recordings', { ...firstBuild, build });
      await live.until(isPhase('done'));
    }
    const [one, two] = await builds();
    expect(one!.recordings.map(({ remount }) => remount)).toEqual([1, 2]);
    expect(two).toMatchObject({ parentId: one!.id, change: 'seal swapped', shockId: one!.shockId });
    expect(two!.recordings).toHaveLength(1);
    live.leave();
  });

  it('stops when asked and keeps what was captured as interrupted', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    await live.until(({ name }) => name === 'samples');
    expect((await bench.post('/api/recordings/current/stop')).body).toMatchObject({ phase: 'stopping' });
    const done = await live.until(isPhase('done'));
    expect(done.data.state).toBe('interrupted');
    live.leave();
  });

  it('tells on the way what it says so far, and last what the analysis of the whole recording says', async () => {
    let solved = 0;
    const real = openBench({
      // The first two and the last are enough to see it.
      analyse: async (id) => {
        const { recording, trace } = real.logbook.readRecording(id as RecordingId);
        return recording.state === 'recording' && solved++ >= 2 ? inventedBody(id) : analysisBody(id, trace);
      },
    });
    try {
      const live = await openLive(real);
      await real.post('/api/recordings', firstBuild);
      const last = await live.until(({ name, data }) => name === 'estimate' && data.isLast === true);
      const told = live.seen
        .filter(({ name }) => name === 'estimate')
        .map(({ data }) => data as unknown as LiveEstimate);
      expect(told.length).toBeGreaterThan(1);
      expect(told[0]!.quantities.every(({ estimate }) => estimate === null)).toBe(true);

      const id = real.logbook.listRecordings()[0]!.id;
      const made = makeTrace(real.logbook.readRecording(id).trace);
      const outcome = made.ok ? analyzeRecording(made.trace) : made;
      const { until_s } = last.data as unknown as LiveEstimate;
      expect(last.data).toEqual(liveEstimate(outcome, { recordingId: id, until_s, isLast: true }));
      const kept = (await real.get(`/api/recordings/${id}/analysis`)).body as ReturnType<typeof analysisBody>;
      expect(kept.ok && kept.analysis).toEqual(outcome.ok && outcome.analysis);

      // A page that comes later sees how it got there.
      const late = await openLive(real);
      await late.until(({ name, data }) => name === 'estimate' && data.isLast === true);
      expect(late.seen.filter(({ name }) => name === 'estimate')).toHaveLength(told.length);
      live.leave();
      late.leave();
    } finally {
      await real.close();
    }
  });

  it('carries what it is for, so that every page knows what comes next', async () => {
    const live = await openLive(bench);
    const asked = { question: 'change', wanted_percent: 15, remounts: 3 };
    expect((await bench.post('/api/recordings', { ...firstBuild, asked })).body).toMatchObject({ asked });
    expect((await live.until(isPhase('done'))).data).toMatchObject({ asked });
    expect(
      await bench.post('/api/recordings', { ...firstBuild, asked: { ...asked, question: 'why' } }),
    ).toMatchObject({ status: 400, body: { where: 'body.asked.question' } });
    live.leave();
  });

  it('counts a recording that was stopped early once somebody keeps it and says why', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    await live.until(({ name }) => name === 'samples');
    await bench.post('/api/recordings/current/stop');
    const { recordingId } = (await live.until(isPhase('done'))).data;
    const keep = (reason: string) => bench.post(`/api/recordings/${recordingId}/keep`, { reason });
    expect(await keep(' ')).toMatchObject({ status: 400, body: { where: 'body.reason' } });
    expect((await keep('sharp enough')).status).toBe(204);
    const [build] = await builds();
    expect(build!.recordings).toMatchObject([{ state: 'complete', stateReason: 'sharp enough' }]);
    expect(((await bench.get('/api/state')).body as StateBody).session).toEqual({ phase: 'idle' });
    live.leave();
  });

  it('is one at a time', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    const second = await bench.post('/api/recordings', {
      ...firstBuild,
      build: { ...firstBuild.build, name: 'another' },
    });
    expect(second).toMatchObject({ status: 409, body: { code: 'busy' } });
    await bench.post('/api/recordings/current/stop');
    await live.until(isPhase('done'));
    expect((await builds()).map(({ name }) => name)).toEqual(['as it came']);
    live.leave();
  });

  it('frees the bench for every page once its outcome is settled or discarded', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    const done = await live.until(isPhase('done'));
    await bench.post(`/api/recordings/${done.data.recordingId}/discard`, { reason: 'mount was loose' });
    expect(((await bench.get('/api/state')).body as StateBody).session).toEqual({ phase: 'idle' });
    live.leave();
  });

  it('survives the server being closed: what was captured is in the logbook', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    await live.until(({ name }) => name === 'samples');
    await bench.server.close();
    const [recording] = bench.logbook.listRecordings();
    expect(recording).toMatchObject({ state: 'interrupted' });
    expect(bench.logbook.readRecording(recording!.id).trace.force.time_s.length).toBeGreaterThan(0);
  });
});

describe('a recording that cannot be made as asked', () => {
  const refused = async (change: Partial<Record<keyof StartRecordingBody, unknown>>) => {
    const answer = await bench.post('/api/recordings', { ...firstBuild, ...change });
    expect(bench.logbook.listBuilds()).toEqual([]);
    expect(bench.logbook.listShocks()).toEqual([]);
    return answer;
  };

  it('names the part of the request that is wrong and writes nothing', async () => {
    expect(await refused({ procedure: 'juggling' })).toMatchObject({
      status: 400,
      body: { code: 'bad-request', where: 'body.procedure' },
    });
    expect(await refused({ build: { ...firstBuild.build, name: ' ' } })).toMatchObject({
      status: 400,
      body: { where: 'body.build.name' },
    });
    expect(await refused({ build: { kind: 'existing', buildId: 5 } })).toMatchObject({
      status: 404,
      body: { code: 'unknown-build', where: 'body.build.buildId' },
    });
  });

  it('opens no path of the file system, only ports that the system lists', async () => {
    for (const path of ['/etc/passwd', '../logbook.sqlite', 'simulated-rig'])
      expect(await refused({ rig: { kind: 'port', path }, cautionsRead: true })).toMatchObject({
        status: 409,
        body: { code: 'port-missing', where: 'body.rig.path' },
      });
  });

  it('lets no drive of a rig pull a spring or sweep into a stop', async () => {
    for (const procedure of ['spring-pull', 'travel-sweep'] as const)
      expect(
        await refused({ procedure, rig: { kind: 'port', path: '/dev/ttyUSB0' }, cautionsRead: true }),
      ).toMatchObject({ status: 409, body: { code: 'by-hand-only', where: 'body.procedure' } });
  });

  it('leaves no build behind when its name is taken', async () => {
    const shock = bench.logbook.createShock({ name: 'front left' });
    bench.logbook.createBuild({ shockId: shock.id, name: 'as it came' });
    expect(await bench.post('/api/recordings', firstBuild)).toMatchObject({
      status: 409,
      body: { code: 'name-taken' },
    });
    expect(((await bench.get('/api/state')).body as StateBody).session).toMatchObject({ phase: 'failed' });
  });

  it('is not stopped when there is none', async () => {
    expect(await bench.post('/api/recordings/current/stop')).toMatchObject({
      status: 409,
      body: { code: 'not-recording' },
    });
  });
});

describe('what can be recorded on', () => {
  it('always includes the practice rig, whatever ports there are', async () => {
    const { practice, procedures } = (await bench.get('/api/ports')).body as PortsBody;
    expect(practice).toContain('low-drag-seal');
    const driven = procedures.filter(({ needsDrive }) => needsDrive).map(({ id }) => id);
    expect(driven).toEqual(['speed-ladder', 'long-ladder', 'slow-sweep', 'spring-pull', 'travel-sweep']);
    const others = procedures.filter(({ needsDrive }) => !needsDrive).map(({ id }) => id);
    expect(others).toEqual(['by-hand', 'slow-sweep-by-hand', 'spring-pull-by-hand', 'travel-sweep-by-hand']);
  });
});

describe('the rig at a glance', () => {
  const rigs = async () => ((await bench.get('/api/rigs')).body as RigsBody).rigs;

  it('is its calibration, its check standard and how its remounts spread', async () => {
    expect(await rigs()).toEqual([]);
    const { logbook } = bench;
    const spare = logbook.rigNamed('spare');
    const rigId = logbook.rigNamed('kitchen table');
    const { id: calibrationId } = logbook.addCalibration(rigId, simulatedRigCalibration);
    const { id: buildId } = logbook.createBuild({
      shockId: logbook.createShock({ name: 'bare spring' }).id,
      name: 'check spring',
    });
    logbook.addRigProfile(rigId, turnedByHand, 'set up');
    for (const rig of [spare, rigId]) logbook.setCheckStandard(rig, buildId);
    const startedAt = '2100-01-02T03:04:05.000Z';
    for (const value of [1, 1.1]) {
      const id = logbook.startRecording({
        buildId,
        rigId,
        calibrationId,
        procedure: { ...capture('slow-sweep', null), happened: [], events: [] },
        startedAt,
        identity: null,
        simulated: false,
      });
      logbook.finishRecording(id, { state: 'complete' });
      const results = ['rate_N_per_mm', 'friction_N'].map((quantity) => ({
        quantity,
        value,
        standardError: 0.1,
      }));
      logbook.enterResults(id, calibrationId, results);
    }
    const [used, other] = await rigs();
    expect(used).toMatchObject({
      name: 'kitchen table',
      calibration: { version: 1 },
      hasDrive: false,
      check: { standard: 'check spring', answer: { verdict: 'learning' }, measuredAt: startedAt },
    });
    expect(used!.spreads.map(({ quantity, rigShareOnly }) => [quantity, rigShareOnly])).toEqual([
      ['rate_N_per_mm', true],
      ['friction_N', true],
    ]);
    expect(other).toEqual({
      name: 'spare',
      calibration: null,
      hasDrive: null,
      check: { standard: 'check spring', since: expect.any(String), answer: null, measuredAt: null },
      spreads: [],
    });
  });
});

describe('a page that comes back after its connection broke', () => {
  it('gets the samples it missed', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', firstBuild);
    const last = await live.until(({ name }) => name === 'samples');
    live.leave();
    const back = await openLive(bench, last.id);
    const next = await back.until(({ name }) => name === 'samples');
    const number = (id: string | undefined) => Number(id!.split('-').at(-1));
    const resumed = back.seen.filter(({ id }) => id !== undefined);
    expect(number(resumed[0]!.id)).toBe(number(last.id) + 1);
    expect(number(next.id)).toBeGreaterThan(number(last.id));
    await bench.post('/api/recordings/current/stop');
    await back.until(isPhase('done'));
    back.leave();
  });
});
