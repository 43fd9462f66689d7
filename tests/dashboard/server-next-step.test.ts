import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ApiError, HolesBody, MatchBody, OilBody, ShelfBody } from '../../dashboard/server/api.js';
import { dampedBody } from './damped-body.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';

const piston = 'bore_mm=12.7&rod_mm=3.5&holes=4&hole_mm=1.5&thickness_mm=2.5';

let bench: Bench;
let soft: number;
let stiff: number;
beforeEach(() => {
  bench = openBench({ analyse: dampedBody });
  const { before, after } = enterTwoBuilds(bench.logbook);
  [soft, stiff] = [before.id, after.id];
});
afterEach(() => bench.close());

const refusal = async (url: string) => {
  const { status, body } = await bench.get(url);
  return { status, ...(body as ApiError) };
};

describe('whether a build meets a target', () => {
  it('is answered from all complete remounts of both', async () => {
    const body = (await bench.get(`/api/match?have=${soft}&target=${stiff}&percent=5`)).body as MatchBody;
    expect(body).toMatchObject({
      have: { buildId: soft, recordingIds: [1, 2, 3] },
      target: { buildId: stiff, recordingIds: [4, 5, 6] },
      answer: { verdict: 'outside', kind: 'damping', remounts: 3, temperature_degC: 23 },
    });
    expect(body.answer.worst.deviation_percent.value).toBeCloseTo(100 * (22.02 / 27.52 - 1), 2);
  });

  it('follows the tolerance', async () => {
    const wide = (await bench.get(`/api/match?have=${soft}&target=${stiff}&percent=25`)).body as MatchBody;
    expect(wide.answer.verdict).toBe('within');
  });

  it.each([
    ['percent=0', 'query.percent', /^"0"$/, /^a number from 0.1 to 100 %$/],
    ['percent=five', 'query.percent', /five/, /^a number from 0.1 to 100 %$/],
    ['kind=sideways', 'query.kind', /sideways/, /damping/],
  ])('is refused for %s, beside the field', async (query, where, found, wanted) => {
    const said = await refusal(`/api/match?have=${soft}&target=${stiff}&${query}`);
    expect(said).toMatchObject({ status: 400, code: 'bad-request', where });
    expect(said.found).toMatch(found);
    expect(said.wanted).toMatch(wanted);
  });

  it('is refused for one build twice, and for a build that is not there', async () => {
    expect(await refusal(`/api/match?have=${soft}&target=${soft}`)).toMatchObject({
      status: 400,
      code: 'same-build',
      where: 'query.target',
    });
    expect(await refusal(`/api/match?have=${soft}&target=99`)).toMatchObject({
      status: 404,
      where: 'query.target',
    });
  });

  it('is refused for recordings that do not tell damping, in the words of the answer', async () => {
    const plain = openBench();
    const { before, after } = enterTwoBuilds(plain.logbook);
    const { status, body } = await plain.get(`/api/match?have=${before.id}&target=${after.id}`);
    expect(status).toBe(422);
    expect(body).toMatchObject({ code: 'no-damping', where: 'query.target' });
    await plain.close();
  });
});

describe('which oil', () => {
  it('is a ratio of viscosities, and a viscosity where the present oil is said', async () => {
    const without = (await bench.get(`/api/plan-oil?have=${soft}&target=${stiff}`)).body as OilBody;
    expect(without.answer).toMatchObject({ advice: 'present-oil-unknown', present: null });
    expect(without.answer.viscosityRatio.value).toBeCloseTo(27.52 / 22.02, 2);

    bench.logbook.putOnShelf('oil', { name: 'invented 440', oil_cSt: 440 });
    const body = (await bench.get(`/api/plan-oil?have=${soft}&target=${stiff}&oil_cSt=350`)).body as OilBody;
    expect(body.answer.wantedViscosity_cSt!.value).toBeCloseTo((350 * 27.52) / 22.02, 0);
    expect(body.answer.shelf.map(({ label }) => label)).toEqual(['invented 440']);
    expect(body.curves.have).toHaveLength(8);
  });

  it('is what the logbook says is in the build, where nothing else is said', async () => {
    const shock = bench.logbook.listShocks()[0]!;
    const { id } = bench.logbook.createBuild({
      shockId: shock.id,
      name: 'filled',
      properties: { oil_cSt: 400 },
    });
    expect(await refusal(`/api/plan-oil?have=${id}&target=${stiff}`)).toMatchObject({
      code: 'nothing-to-compare',
    });
    expect(await refusal(`/api/plan-oil?have=${soft}&target=${stiff}&oil_cSt=-3`)).toMatchObject({
      status: 400,
      where: 'query.oil_cSt',
    });
  });

  it('can bring the former total force back, drag included', async () => {
    const { body } = await bench.get(`/api/plan-oil?have=${stiff}&target=${soft}&restore=total&oil_cSt=350`);
    const { answer } = body as OilBody;
    expect(answer.restores).toBe('total');
    expect(answer.total!.dragLost_N).toBeCloseTo(0.4, 1);
  });
});

describe('which drill', () => {
  it('is told with a predicted curve each, the first below the wanted hole', async () => {
    const { status, body } = await bench.get(
      `/api/plan-holes?have=${stiff}&target=${soft}&${piston}&oil_cSt=350`,
    );
    expect(status).toBe(200);
    const { answer, curves } = body as HolesBody;
    expect(answer.hole_mm.value).toBeGreaterThan(1.5);
    expect(answer.advice).toBe('drill');
    expect(answer.drills[0]).toMatchObject({ role: 'first' });
    expect(answer.drills[0]!.diameter_mm).toBeLessThan(answer.hole_mm.value);
    expect(answer.drills.every(({ curve }) => curve.length > 0)).toBe(true);
    expect(curves.target).toHaveLength(8);
  });

  it.each([
    ['rod_mm=20', 'query.rod_mm', 422],
    ['hole_mm=9', 'query.hole_mm', 422],
    ['gap_mm=3', 'query.gap_mm', 422],
    ['holes=2.5', 'query.holes', 400],
    ['holes=1000000', 'query.holes', 400],
    ['bore_mm=', 'query.bore_mm', 400],
    ['thickness_mm=NaN', 'query.thickness_mm', 400],
  ])('is refused for %s, beside the field', async (change, where, status) => {
    const [name] = change.split('=');
    const rest = piston.split('&').filter((part) => !part.startsWith(`${name}=`));
    const said = await refusal(`/api/plan-holes?have=${stiff}&target=${soft}&${[...rest, change].join('&')}`);
    expect(said).toMatchObject({ status, where });
    expect(said.wanted).not.toBe('');
  });
});

describe('the shelf', () => {
  it('tells oils, pistons and drills', async () => {
    bench.logbook.putOnShelf('oil', { name: 'invented 400', oil_cSt: 400 });
    bench.logbook.putOnShelf('drill', { name: '1.6 mm', drill_mm: 1.6 });
    const shelf = (await bench.get('/api/shelf')).body as ShelfBody;
    expect(shelf).toMatchObject({ oils: [{ label: 'invented 400' }], pistons: [], drills_mm: [1.6] });
  });
});
