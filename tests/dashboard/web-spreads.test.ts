import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { AnalysisBody, CompareBody, SpreadsBody } from '../../dashboard/server/api.js';
import { dampedBody } from './damped-body.js';
import { type Bench, openBench, rigWithTwoBuilds } from './server-fixture.js';

let bench: Bench;
let rig: ReturnType<typeof rigWithTwoBuilds>;
let learntFrom: readonly number[];

/** Of the second build; nothing moved in it. */
const refused = 3;

async function analyse(recordingId: number): Promise<AnalysisBody> {
  if (recordingId !== refused) return dampedBody(recordingId);
  const refusal = { code: 'no-motion', found: 'no stroke', wanted: 'a shock that is stroked' } as const;
  return { ok: false, recordingId, refusal };
}

/** Two builds with a recording each that can be analysed, and one whose remounts the rig has learnt from. */
beforeAll(() => {
  bench = openBench({ analyse });
  rig = rigWithTwoBuilds(bench.logbook, 2);
  const { ids } = rig.record('learnt from', 5);
  ids.forEach((id, k) => {
    bench.logbook.enterResults(id, rig.calibrationId, [
      { quantity: 'friction_N', value: 1 + 0.01 * k, standardError: 0.001 },
      { quantity: 'damping.compression@0.10', value: 2 + 0.05 * (k % 2), standardError: 0.001 },
    ]);
  });
  learntFrom = ids;
});
afterAll(async () => {
  vi.unstubAllGlobals();
  await bench.close();
});

const spreadsOf = (...ids: readonly number[]) =>
  bench.get(`/api/spreads?${ids.map((id) => `recordings=${id}`).join('&')}`);

describe('the spreads beside recordings', () => {
  it('are those that the rig of all of them has learnt, from other builds', async () => {
    const [before, after] = [rig.before.ids[0]!, rig.after.ids[0]!];
    const { body } = await spreadsOf(before, after);
    expect(body).toMatchObject({
      recordingIds: [before, after],
      spreads: [
        { quantity: 'friction_N', degreesOfFreedom: 4 },
        { quantity: 'damping.compression@0.10', degreesOfFreedom: 4 },
      ],
    });
    expect(((await spreadsOf(before)).body as SpreadsBody).spreads).toHaveLength(2);
    expect(((await spreadsOf(before, learntFrom[0]!)).body as SpreadsBody).spreads).toEqual([]);
  });

  it('are refused for none, for what is no id and for recordings that are not there', async () => {
    expect(await bench.get('/api/spreads')).toMatchObject({
      status: 400,
      body: { where: 'query.recordings', wanted: 'one or more ids' },
    });
    expect(await bench.get('/api/spreads?recordings=1&recordings=x')).toMatchObject({
      status: 400,
      body: { where: 'query.recordings.1', wanted: 'a whole number above 0' },
    });
    expect(await spreadsOf(1, 99)).toMatchObject({
      status: 404,
      body: { code: 'unknown-recording', where: 'query.recordings' },
    });
  });
});

describe('the comparison of the page', () => {
  it('is that of the server, with what the rig has learnt and without what could not be analysed, and so are its pictures and the list of builds', async () => {
    const { before, after } = rig;
    expect(after.ids).toContain(refused);
    standInForBrowser(`?builds=${before.buildId},${after.buildId}`);
    const [
      { compared, pictured },
      { logbook, needAnalyses, refreshLogbook },
      { wantedRecordings },
      spreads,
      { frictionOfBuilds },
    ] = await Promise.all([
      import('../../dashboard/web/together/pictured.js'),
      import('../../dashboard/web/logbook.js'),
      import('../../dashboard/web/together/selection.js'),
      import('../../dashboard/web/together/spreads.js'),
      import('../../dashboard/web/builds/friction.js'),
    ]);
    await refreshLogbook();
    needAnalyses(wantedRecordings.value);
    await vi.waitUntil(() => pictured.value.length === 2);
    expect(compared.value).toBeNull();
    spreads.needSpreads();
    await vi.waitUntil(() => spreads.areSpreadsHere.value);

    const { body } = await bench.get(`/api/compare?before=${before.buildId}&after=${after.buildId}`);
    expect((body as CompareBody).after.recordingIds).toEqual([2]);
    const told = (body as CompareBody).comparison.differences;
    const own = compared.value!.comparisons[0]!.differences;
    expect(own).toMatchObject(told);
    expect(told.map(({ quantity, spread }) => [quantity, spread.basis])).toEqual(
      expect.arrayContaining([
        ['friction_N', 'rig'],
        ['damping.compression@0.10', 'rig'],
        ['damping.rebound@0.10', 'assumed'],
      ]),
    );
    const drag = told.find(({ quantity }) => quantity === 'friction_N')!;
    expect(pictured.value.map(({ drag_N }) => drag_N)).toEqual([drag.before, drag.after]);
    const listed = logbook.value!.builds.filter(({ id }) => id === before.buildId || id === after.buildId);
    const friction = frictionOfBuilds(listed, spreads.known.value);
    expect(listed.map(({ id }) => friction.get(id)!.drag_N)).toEqual([drag.before, drag.after]);
  });
});

/** What the page's state asks of a browser, on the server of this file. */
function standInForBrowser(search: string): void {
  const nothing = { addEventListener: () => {} };
  vi.stubGlobal('location', { pathname: '/together', search });
  vi.stubGlobal('addEventListener', () => {});
  vi.stubGlobal('document', { ...nothing, documentElement: { classList: { toggle: () => false } } });
  vi.stubGlobal('matchMedia', () => ({ ...nothing, matches: false }));
  vi.stubGlobal('getComputedStyle', () => ({ getPropertyValue: () => '#000' }));
  vi.stubGlobal('fetch', async (path: string) => {
    const { status, text } = await bench.get(path);
    return new Response(text, { status });
  });
}
