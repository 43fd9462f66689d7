import { setTimeout as pause } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { compareBuilds } from '../../analysis/index.js';
import type {
  CareBody,
  CompareBody,
  GuidedBody,
  LearntBody,
  ReadingsBody,
  UnderBody,
} from '../../dashboard/server/api.js';
import { type Bench, inventedAnalysis, openBench, rigWithTwoBuilds } from './server-fixture.js';

let bench: Bench;
beforeEach(() => {
  bench = openBench();
});
afterEach(() => bench.close());

const plan = {
  masses_g: [100, 200, 500, 800, 1000],
  lengths_mm: [5, 10, 15],
  runs: 1,
  gravity_m_per_s2: 9.8118,
  isPull: false,
  radius_mm: null,
  rod_mm: null,
  countsPerTurn: null,
  capacity_N: 98,
  stroke_mm: 24,
};
const start = (what: string, rig: object = { kind: 'practice' }) =>
  bench.post('/api/care/guided', { what, rig, plan, cautionsRead: false });
const care = async () => (await bench.get('/api/care')).body as CareBody;

/** Does what the page's person would: each step as it is asked, until something was found. */
async function leadThrough(what: string): Promise<{ steps: number; body: GuidedBody }> {
  expect((await start(what)).status).toBe(201);
  for (let steps = 0; ; ) {
    const { body } = (await bench.get('/api/care/guided')) as { body: GuidedBody };
    if (body.phase === 'asking') {
      steps++;
      expect((await bench.post('/api/care/guided/go')).status).toBe(200);
    } else if (body.phase === 'found' || body.phase === 'entered' || body.phase === 'failed')
      return { steps, body };
    await pause(20);
  }
}

describe('a rig that is looked after from the page', () => {
  it('is set up and calibrated step by step, nothing entered before somebody says so', async () => {
    const setup = await leadThrough('setup');
    expect(setup).toMatchObject({ steps: 4, body: { phase: 'found', found: { kind: 'profile' } } });
    expect((await care()).rig).toBeNull();
    await bench.post('/api/care/guided/enter', { note: 'first' });

    const force = await leadThrough('force');
    expect(force.steps).toBe(11);
    expect(force.body).toMatchObject({ found: { part: { part: 'force' } } });
    const entered = (await bench.post('/api/care/guided/enter')).body;
    expect(entered).toMatchObject({ phase: 'entered', entered: { version: null, missing: ['position'] } });

    await leadThrough('position');
    await bench.post('/api/care/guided/enter', { note: 'gauge blocks' });
    const { rig } = await care();
    expect(rig).toMatchObject({
      name: 'simulated rig',
      profile: { version: 1, note: 'first', profile: { cellCapacity_N: 98, forceSign: 1 } },
      calibrations: [{ version: 1, note: 'gauge blocks' }],
      parts: [{ part: 'position' }, { part: 'force' }],
      check: null,
    });
    expect(rig!.calibrations[0]!.calibration.force.newton_per_count * 21_900).toBeCloseTo(1, 2);

    const check = await leadThrough('check');
    expect(check.body).toMatchObject({ phase: 'entered' });
    expect((await care()).rig).toMatchObject({
      check: { standard: 'check standard', answer: { verdict: 'learning' } },
    });
  });

  it('is left at any step, and nothing is entered', async () => {
    await start('force');
    expect((await start('force')).status).toBe(409);
    expect((await bench.post('/api/care/guided/leave')).body).toEqual({ phase: 'idle' });
    expect((await bench.post('/api/care/guided/enter')).status).toBe(409);
    expect((await care()).rigs).toEqual([]);
  });

  it('is asked nothing when its limits make no sense', async () => {
    const limited = { ...plan, forceLimit_N: 120 };
    const body = { what: 'setup', rig: { kind: 'practice' }, plan: limited, cautionsRead: false };
    expect(await bench.post('/api/care/guided', body)).toMatchObject({
      status: 400,
      body: { where: 'plan.forceLimit_N', wanted: 'at most the 98 N printed on the cell' },
    });
  });

  it('is not driven without a calibration, and no unlisted port is opened', async () => {
    const uncalibrated = await leadThrough('check');
    expect(uncalibrated.body).toMatchObject({ phase: 'failed', error: { code: 'no-calibration' } });
    expect((await start('force', { kind: 'port', path: '/etc/passwd' })).body).toMatchObject({
      code: 'port-missing',
    });
  });

  it('takes readings that were typed, first to look at them', async () => {
    const rows = [0, 100, 200, 500, 800, 1000, 800, 500, 200, 100, 0].map(
      (mass_g, i) => `${mass_g},${41_000 + 196.4 * mass_g + (i % 3)}`,
    );
    const asked = {
      what: 'force',
      rig: 'bench rig',
      plan,
      text: ['mass_g,reading_counts', ...rows].join('\n'),
    };
    const looked = (await bench.post('/api/care/readings', { ...asked, enter: false })).body as ReadingsBody;
    expect(looked).toMatchObject({ found: { kind: 'part', part: { part: 'force' } }, entered: null });
    expect((await care()).rigs).toEqual([]);
    // Weights that pull, at a latitude: other newtons per count, the other way round.
    const there = { ...plan, gravity_m_per_s2: null, latitude_deg: 0, isPull: true };
    const pulled = await bench.post('/api/care/readings', { ...asked, plan: there, enter: false });
    const perCount = ({ found }: ReadingsBody) =>
      found.kind === 'part' && found.part.part === 'force' ? found.part.value.newton_per_count : Number.NaN;
    // 9.7803 m/s² on the equator (NIMA TR8350.2).
    expect(perCount(pulled.body as ReadingsBody) / perCount(looked)).toBeCloseTo(-9.7803253 / 9.8118, 6);
    await bench.post('/api/care/readings', { ...asked, enter: true, note: 'kitchen scale' });
    expect((await care()).rig).toMatchObject({ name: 'bench rig', parts: [{ note: 'kitchen scale' }] });
    const text = 'mass_g,reading_counts\n0,x\n';
    const wrong = await bench.post('/api/care/readings', { ...asked, text, enter: false });
    expect(wrong.body).toMatchObject({ where: expect.stringMatching(/line 2/) });
  });
});

describe('a run that looks after a rig', () => {
  it('keeps imports waiting, since reading a long file would hold up its heartbeats', async () => {
    await bench.close();
    bench = openBench({ practicePace: 'real' });
    const { before, scale } = rigWithTwoBuilds(bench.logbook);
    bench.logbook.addCalibration(bench.logbook.rigNamed('simulated rig'), scale(4e-5));
    const reading = { delimiter: ',', decimalMark: '.', headerLines: 1, cells: 3, columns: [] };
    const url = `/api/imports?name=a.csv&build=${before.buildId}&modified=2026-01-02T03:04:05.000Z&reading=${encodeURIComponent(JSON.stringify(reading))}`;
    const imported = async () =>
      (
        await bench.server.inject({
          method: 'POST',
          url,
          headers: { host: '127.0.0.1', 'content-type': 'application/octet-stream' },
          payload: Buffer.from('t,x,F\n'),
        })
      ).json();
    await start('check');
    expect(await imported()).toMatchObject({ code: 'busy', wanted: 'imports when it has ended' });
    await bench.post('/api/care/guided/leave');
    expect((await imported()).code).not.toBe('busy');
  });
});

describe('what a rig is known for', () => {
  it('is learnt from the remounts of a build, not from one alone', async () => {
    const { rigId, before, record } = rigWithTwoBuilds(bench.logbook);
    const alone = await bench.post('/api/care/learn', { build: before.buildId });
    expect(alone).toMatchObject({ status: 409, body: { code: 'nothing-to-learn' } });
    const { buildId } = record('another', 4);
    const { status, body } = await bench.post('/api/care/learn', { build: buildId });
    expect([status, body]).toMatchObject([200, { remounts: 4 }]);
    const [drag] = bench.logbook.remountSpreadOf(rigId);
    expect(drag).toMatchObject({ quantity: 'friction_N', degreesOfFreedom: 3, builds: 1 });
    expect((body as LearntBody).spreads[0]).toEqual(drag);
  });

  it('reaches the comparison of single recordings on it, from other builds', async () => {
    const { rigId, calibrationId, before, after, record } = rigWithTwoBuilds(bench.logbook);
    const comparison = async () => {
      const { body } = await bench.get(`/api/compare?before=${before.buildId}&after=${after.buildId}`);
      return (body as CompareBody).comparison.differences[0]!;
    };
    expect((await comparison()).spread.basis).toBe('assumed');
    record('another', 5).ids.forEach((id, k) => {
      bench.logbook.enterResults(id, calibrationId, [
        { quantity: 'friction_N', value: 1 + 0.01 * k, standardError: 0.001 },
      ]);
    });
    const [spread] = bench.logbook.remountSpreadOf(rigId);
    const known = {
      relative: spread!.relativeStandardDeviation,
      degreesOfFreedom: spread!.degreesOfFreedom,
    };
    const [drag] = compareBuilds(
      [inventedAnalysis(before.ids[0]!)],
      [inventedAnalysis(after.ids[0]!)],
      known,
    ).differences;
    expect(await comparison()).toEqual(drag);
  });

  it('shows an old recording under its own calibration and under another', async () => {
    await bench.close();
    const asked: (number | undefined)[] = [];
    bench = openBench({
      analyse: async (recordingId, _signal, calibrationId) => {
        asked.push(calibrationId);
        return { ok: true, recordingId, analysis: inventedAnalysis(recordingId), picture: null };
      },
    });
    const { rigId, calibrationId, before, scale } = rigWithTwoBuilds(bench.logbook);
    const other = bench.logbook.addCalibration(rigId, scale(5e-5), 'second');
    const { body, status } = await bench.get(`/api/care/under?recording=${before.ids[0]}&version=2`);
    expect(status).toBe(200);
    expect(body as UnderBody).toMatchObject({ own: { version: 1 }, other: { version: 2 } });
    expect(asked).toEqual([calibrationId, other.id]);
    expect((await bench.get('/api/care/under?recording=99&version=1')).status).toBe(404);
  });
});
