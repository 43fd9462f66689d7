import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { countedRemounts } from '../../dashboard/answers/index.js';
import { remountedBuilds } from '../../dashboard/cli/remounted-builds.js';
import { resolveSources } from '../../dashboard/cli/resolve-sources.js';
import type { BuildsBody, CompareBody } from '../../dashboard/server/api.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';
import { enterSlowStrokes } from './slow-recording.js';

const ladder = { id: 1, buildId: 1, remount: 1, state: 'complete', procedure: 'speed-ladder' };
const idsOf = (recordings: readonly (typeof ladder)[]) => countedRemounts(recordings).map(({ id }) => id);

describe('remounts that count', () => {
  it.each(['warm-up', 'spring-pull', 'travel-sweep', 'lag-check'])('leave out a %s', (procedure) => {
    expect(idsOf([ladder, { ...ladder, id: 2, remount: 2, procedure }])).toEqual([1]);
  });

  it.each(['slow-sweep', 'unknown'])('have a %s among them', (procedure) => {
    expect(idsOf([ladder, { ...ladder, id: 2, remount: 2, procedure }])).toEqual([1, 2]);
  });

  it.each(['interrupted', 'discarded', 'recording'])('leave out what is %s', (state) => {
    expect(idsOf([ladder, { ...ladder, id: 2, remount: 2, state }])).toEqual([1]);
  });

  it('are one a mounting, the latest that tells of the shock, in the order of the mountings', () => {
    const again = { ...ladder, id: 3 };
    const swept = { ...ladder, id: 4, procedure: 'travel-sweep' };
    const other = { ...ladder, id: 5, buildId: 2 };
    expect(idsOf([{ ...ladder, id: 2, remount: 2 }, ladder, again, swept, other])).toEqual([3, 2, 5]);
  });
});

describe('a build with a spring pull and a travel sweep beside its ladders', () => {
  let bench: Bench;
  let [before, after] = [
    { id: 0, recordings: [0] },
    { id: 0, recordings: [0] },
  ];
  beforeAll(() => {
    bench = openBench();
    ({ before, after } = enterTwoBuilds(bench.logbook, 1));
    enterSlowStrokes(bench.logbook, before.id as never, 'spring-pull');
    enterSlowStrokes(bench.logbook, before.id as never, 'travel-sweep');
  });
  afterAll(() => bench.close());

  it('is its ladders to the command, the server and the page alike', async () => {
    const [resolved] = await resolveSources(['build:old seal'], bench.logbook.path);
    expect(resolved).toMatchObject({ ok: true, sources: [{ id: before.recordings[0] }] });
    const compared = await bench.get(`/api/compare?before=${before.id}&after=${after.id}`);
    expect((compared.body as CompareBody).before.recordingIds).toEqual(before.recordings);
    const { builds } = (await bench.get('/api/builds')).body as BuildsBody;
    const told = builds.find(({ id }) => id === before.id)!.recordings;
    expect(told).toHaveLength(3);
    expect(countedRemounts(told).map(({ id }) => id)).toEqual(before.recordings);
  });

  it('tells nothing of the spread between remounts', () => {
    expect(remountedBuilds(bench.logbook.path)).toEqual([]);
  });

  it('is summarised without them', async () => {
    const { text } = await bench.get('/api/tables/summary.csv?by=build');
    expect(text).toMatch(/^old seal,[^,]*friction[^,]*,1,/m);
  });
});
