import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { compareBuilds } from '../../analysis/index.js';
import type {
  AnalysisBody,
  ApiError,
  BuildsBody,
  CompareBody,
  StateBody,
} from '../../dashboard/server/api.js';
import { type Bench, enterTwoBuilds, inventedAnalysis, openBench } from './server-fixture.js';

let bench: Bench;
beforeEach(() => {
  bench = openBench();
});
afterEach(() => bench.close());

describe('the state', () => {
  it('names the logbook, not the folder it lies in', async () => {
    const { body } = await bench.get('/api/state');
    expect((body as StateBody).logbook).toBe('logbook.sqlite');
    expect((body as StateBody).session).toEqual({ phase: 'idle' });
  });
});

describe('the list of builds', () => {
  it('is empty for an empty logbook', async () => {
    expect((await bench.get('/api/builds')).body).toEqual({ shocks: [], builds: [] });
  });

  it('tells lineage, change and recordings, and of an imported file only its name', async () => {
    const { before, after } = enterTwoBuilds(bench.logbook);
    const { builds, shocks } = (await bench.get('/api/builds')).body as BuildsBody;
    expect(shocks.map(({ name }) => name)).toEqual(['invented shock']);
    expect(builds.map(({ name, parentId, change }) => ({ name, parentId, change }))).toEqual([
      { name: 'old seal', parentId: null, change: '' },
      { name: 'new seal', parentId: before.id, change: 'seal swapped' },
    ]);
    expect(builds[1]!.recordings.map(({ id, remount, state }) => ({ id, remount, state }))).toEqual(
      after.recordings.map((id, index) => ({ id, remount: index + 1, state: 'complete' })),
    );
    expect(builds[0]!.recordings[0]!.rig).toBe('file ladder.csv');
  });

  it('keeps a discarded recording in sight, with the reason', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    expect(
      (await bench.post(`/api/recordings/${before.recordings[0]}/discard`, { reason: 'loose mount' })).status,
    ).toBe(204);
    const { builds } = (await bench.get('/api/builds')).body as BuildsBody;
    expect(builds[0]!.recordings[0]).toMatchObject({ state: 'discarded', stateReason: 'loose mount' });
  });
});

describe('an analysis', () => {
  it('is made once, however often and by however many it is asked for', async () => {
    const [id] = enterTwoBuilds(bench.logbook).before.recordings;
    const answers = await Promise.all([1, 2, 3].map(() => bench.get(`/api/recordings/${id}/analysis`)));
    await bench.get(`/api/recordings/${id}/analysis`);
    expect(bench.analysed).toEqual([id]);
    expect(new Set(answers.map(({ text }) => text)).size).toBe(1);
  });

  it('comes without its picture when none is wanted', async () => {
    const [id] = enterTwoBuilds(bench.logbook).before.recordings;
    const { body } = await bench.get(`/api/recordings/${id}/analysis?picture=none`);
    expect(body).toMatchObject({ ok: true, recordingId: id, picture: null });
  });

  it('of a recording that is not there is refused with what was found and wanted', async () => {
    const { status, body } = await bench.get('/api/recordings/77/analysis');
    expect(status).toBe(404);
    expect(body).toEqual({
      code: 'unknown-recording',
      found: 'no recording 77',
      wanted: 'a recording of this logbook',
      where: 'params.id',
    } satisfies ApiError);
  });

  it.each(['x', '-1', '1.5', '0', '1e99'])('is refused for the id %s', async (id) => {
    const { status, body } = await bench.get(`/api/recordings/${id}/analysis`);
    expect(status).toBe(400);
    expect(body).toMatchObject({ code: 'bad-request', where: 'params.id', wanted: 'a whole number above 0' });
  });

  it('that failed is tried again', async () => {
    let tries = 0;
    const other = openBench({
      analyse: async (recordingId): Promise<AnalysisBody> => {
        if (++tries === 1) throw new Error('the analysis thread ended');
        return { ok: false, recordingId, refusal: { code: 'too-short', found: '2 samples', wanted: 'more' } };
      },
    });
    const [id] = enterTwoBuilds(other.logbook).before.recordings;
    expect((await other.get(`/api/recordings/${id}/analysis`)).status).toBe(500);
    expect((await other.get(`/api/recordings/${id}/analysis`)).body).toMatchObject({ ok: false });
    await other.close();
  });
});

describe('a comparison', () => {
  it('is that of the analysis over the complete remounts, to the last digit', async () => {
    const { before, after } = enterTwoBuilds(bench.logbook);
    bench.logbook.discardRecording(after.recordings[2]!, 'loose mount');
    const { body } = await bench.get(`/api/compare?before=${before.id}&after=${after.id}`);
    expect(body).toEqual({
      before: { buildId: before.id, recordingIds: before.recordings },
      after: { buildId: after.id, recordingIds: after.recordings.slice(0, 2) },
      comparison: compareBuilds(
        before.recordings.map(inventedAnalysis),
        after.recordings.slice(0, 2).map(inventedAnalysis),
      ),
    } satisfies CompareBody);
  });

  it('with a build that has nothing to compare is refused', async () => {
    const { before } = enterTwoBuilds(bench.logbook);
    const { status, body } = await bench.get(`/api/compare?before=${before.id}&after=99`);
    expect(status).toBe(404);
    expect(body).toMatchObject({ code: 'nothing-to-compare', where: 'query.after' });
  });

  it('says which side is missing', async () => {
    const { status, body } = await bench.get('/api/compare?before=1');
    expect(status).toBe(400);
    expect(body).toMatchObject({ where: 'query.after', wanted: 'a whole number above 0' });
  });
});

describe('tables to save', () => {
  it('hold the differences with their intervals in full', async () => {
    const { before, after } = enterTwoBuilds(bench.logbook);
    const { text } = await bench.get(`/api/tables/comparison.csv?before=${before.id}&after=${after.id}`);
    const [heading, drag] = text.split('\r\n');
    const { differences } = compareBuilds(
      before.recordings.map(inventedAnalysis),
      after.recordings.map(inventedAnalysis),
    );
    expect(heading).toContain('quantity');
    expect(drag!.split(',').slice(0, 3)).toEqual(['old seal', 'new seal', 'friction_N']);
    expect(drag).toContain(String(differences[0]!.difference.value));
  });

  it('summarise all complete recordings', async () => {
    enterTwoBuilds(bench.logbook);
    const { text } = await bench.get('/api/tables/summary.csv?by=oil');
    // The build with the other seal has the oil of the one it was made from.
    expect(text).toMatch(/thin,friction_N,6,/);
  });
});
