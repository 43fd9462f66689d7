import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {
  ApiError,
  CornerBody,
  MatchBody,
  RemountsBody,
  SpringBody,
  TravelBody,
} from '../../dashboard/server/api.js';
import { dampedBody } from './damped-body.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';
import { enterSlowStrokes } from './slow-recording.js';

let bench: Bench;
let [soft, single, pull, bare, sweep] = [0, 0, 0, 0, 0];
beforeAll(() => {
  bench = openBench({ analyse: dampedBody });
  const { before, after } = enterTwoBuilds(bench.logbook);
  soft = before.id;
  pull = enterSlowStrokes(bench.logbook, before.id, 'spring-pull');
  bare = enterSlowStrokes(bench.logbook, before.id, 'spring-pull', { rate_N_per_m: 31, preload_N: 0.5 });
  const gas = { rate_N_per_m: 40, preload_N: 0.6 };
  const stop = { at_m: 21.8e-3, stiffness_N_per_m: 120e3 };
  sweep = enterSlowStrokes(bench.logbook, before.id, 'travel-sweep', gas, stop);
  single = after.id;
});
afterAll(() => bench.close());

const asked = async <Body>(url: string): Promise<Body> => {
  const { status, body } = await bench.get(url);
  expect({ status, body }).toMatchObject({ status: 200 });
  return body as Body;
};
const refused = async (url: string) => {
  const { status, body } = await bench.get(url);
  return { status, ...(body as ApiError) };
};

describe('a spring', () => {
  it('has the rate and preload of its pull, its bare shock off, its label held against it, points to draw', async () => {
    const { answer, points } = await asked<SpringBody>(
      `/api/spring?pull=${pull}&bare=${bare}&label=1.43&rate_unit=lbf/in`,
    );
    expect(answer.rate_N_per_mm.low95).toBeLessThan(0.25);
    expect(answer.rate_N_per_mm.high95).toBeGreaterThan(0.25);
    expect(answer.preload_N!.value).toBeCloseTo(0.7, 1);
    expect(answer.label).toMatchObject({ verdict: 'agrees', unit: 'lbf/in' });
    expect(points.force_N.length).toBe(points.position_mm.length);
    expect(points.force_N.length).toBeGreaterThan(300);
  });

  it('for another mass is chosen from the shelf', async () => {
    bench.logbook.putOnShelf('spring', { name: 'firm', rate_N_per_mm: 0.33 });
    const { answer } = await asked<SpringBody>(`/api/spring?pull=${pull}&mass_before_g=500&mass_after_g=600`);
    expect(answer.ride!.wanted_N_per_mm.value).toBeCloseTo(0.281 * 1.2, 2);
    expect(answer.ride!.shelf[0]!.spring.label).toBe('firm');
  });

  it.each([
    ['pull=99', 404, 'query.pull', /no recording 99/, /ran to its end/],
    ['pull=PULL&wire_mm=1', 400, 'query.coil_mm', /nothing/, /diameter of the wire and the number of coils/],
    ['pull=PULL&mass_after_g=500', 400, 'query.mass_before_g', /nothing/, /the mass to come/],
    ['pull=PULL&wire_mm=5&coil_mm=9&coils=6', 422, 'query.wire_mm', /./, /./],
    ['pull=1', 422, 'query.pull', /./, /./],
  ])('is refused for %s, beside the field', async (query, status, where, found, wanted) => {
    const said = await refused(`/api/spring?${query.replace('PULL', String(pull))}`);
    expect(said).toMatchObject({ status, where });
    expect(said.found).toMatch(found);
    expect(said.wanted).toMatch(wanted);
  });
});

describe('travel', () => {
  it('ends where the stop touches; spacers and lengths inside count', async () => {
    const { answer, points } = await asked<TravelBody>(
      `/api/travel?sweep=${sweep}&standing_mm=8&under_piston_mm=3&inside_mm=25&piston_mm=2.5&nut_mm=3`,
    );
    expect(answer.contact).toMatchObject({ kind: 'hard' });
    expect(answer.travel_mm.value).toBeCloseTo(17.8, 1);
    expect(answer.spacers!.down_mm).toBeCloseTo(5, 6);
    expect(answer.firstTouch!.first).toBe('piston');
    expect(Math.max(...points.force_N)).toBeGreaterThan(10);
  });

  it.each([
    ['standing_mm=40', 422, 'query.standing_mm'],
    ['outside_mm=2', 400, 'query.standing_mm'],
    ['piston_mm=2.5', 400, 'query.inside_mm'],
    ['standing_mm=-1', 400, 'query.standing_mm'],
  ])('is refused for %s, beside the field', async (query, status, where) => {
    expect(await refused(`/api/travel?sweep=${sweep}&${query}`)).toMatchObject({ status, where });
  });
});

describe('a corner', () => {
  const corner = (query: string) => `/api/corner?have=${soft}&mass_g=500&travel_mm=50&${query}`;

  it('rides on both springs, with intervals, and its motions end at rest and on the ground', async () => {
    const { answer } = await asked<CornerBody>(corner('rate=0.2&proposed_rate=0.3&drop_mm=100'));
    const [present, proposed] = answer.corners;
    const frequency = Math.sqrt(200 / 0.5) / (2 * Math.PI);
    expect(present!.frequency_Hz).toMatchObject({ value: expect.closeTo(frequency, 6) });
    // A typed rate is taken as exact; damping and drag are not.
    expect(present!.frequency_Hz.low95).toBeCloseTo(frequency, 6);
    expect(proposed!.frequency_Hz.value / frequency).toBeCloseTo(Math.sqrt(1.5), 6);
    const ratio = present!.dampingRatios.find(({ speed_m_per_s }) => speed_m_per_s === 0.1)!.total;
    const drag_N = 1.41;
    const wanted = (22.02 + (4 * drag_N) / (Math.PI * 0.1)) / (2 * Math.sqrt(200 * 0.5));
    expect(ratio.value / wanted).toBeCloseTo(1, 2);
    expect(ratio.low95).toBeLessThan(ratio.value);
    expect(ratio.high95).toBeGreaterThan(ratio.value);
    const { swing, landing, corner: seen } = present!;
    expect(swing!.at_mm[0]).toBeCloseTo(-seen.freeResponse.push_mm, 2);
    expect(proposed!.swing!.at_mm[0]).toBeCloseTo(swing!.at_mm[0]!, 2);
    expect(swing!.at_mm.at(-1)).toBeCloseTo(-seen.freeResponse.restsOff_mm, 2);
    expect(Math.max(...landing!.at_mm)).toBeCloseTo(seen.landing!.travelUsed_mm, 1);
    expect(proposed!.corner.landing!.travelUsed_mm).toBeLessThan(seen.landing!.travelUsed_mm);
  });

  it('takes rate, interval and preload from the pull of the spring', async () => {
    const { answer } = await asked<CornerBody>(corner(`pull=${pull}`));
    const { frequency_Hz, spring, landing } = answer.corners[0]!;
    expect(spring.rate_N_per_m.value).toBeCloseTo(281, -1);
    expect(spring.preload_N).toBeCloseTo(1.2, 1);
    // Half the relative interval of the rate, as f goes with its root.
    const relative = ({ value, low95, high95 }: typeof frequency_Hz) => (high95 - low95) / value;
    expect(relative(frequency_Hz) / relative(spring.rate_N_per_m)).toBeCloseTo(0.5, 2);
    expect(landing).toBeNull();
  });

  it.each([
    ['', 400, 'query.rate'],
    ['rate=0.2&motion_ratio=4', 400, 'query.motion_ratio'],
    ['rate=0.2&tyre_rate=2', 422, 'query.unsprung_g'],
    ['rate=0.2&motion_ratio=0.5&ratio_slope_per_m=-10', 422, 'query.ratio_slope_per_m'],
    ['pull=99', 404, 'query.pull'],
    ['rate=0.2&proposed_pull=99', 404, 'query.proposed_pull'],
  ])('is refused for %s, beside the field', async (query, status, where) => {
    expect(await refused(corner(query))).toMatchObject({ status, where });
  });

  it('is refused for a build whose damping nobody knows', async () => {
    const plain = openBench();
    const { before } = enterTwoBuilds(plain.logbook);
    const { status, body } = await plain.get(
      `/api/corner?have=${before.id}&mass_g=500&travel_mm=25&rate=0.2`,
    );
    expect({ status, ...(body as ApiError) }).toMatchObject({
      status: 422,
      code: 'no-damping',
      where: 'query.have',
    });
    await plain.close();
  });
});

describe('how many more remounts', () => {
  it('follows from the spread between those that are there, and from the difference that matters', async () => {
    const { answer, recordingIds } = await asked<RemountsBody>(
      `/api/more-remounts?have=${soft}&difference_N=0.02`,
    );
    expect(recordingIds).toEqual([1, 2, 3]);
    expect(answer).toMatchObject({ basis: 'remounts', seenIn: 3, recorded: 3, quantity: 'friction_N' });
    const { wanted, byRemounts, now } = answer;
    const seen = byRemounts.find(({ resolvable_N }) => resolvable_N <= 0.02)!;
    expect(wanted!.withMeasuredSpread).toBe(seen.remounts);
    expect(now).toEqual(byRemounts.find(({ remounts }) => remounts === 3));
    expect(now!.halfWidth_N).toBeLessThan(now!.resolvable_N);
    expect(byRemounts.map(({ resolvable_N }) => resolvable_N)).toEqual(
      byRemounts.map(({ resolvable_N }) => resolvable_N).sort((a, b) => b - a),
    );
  });

  it('for one remount is what other builds of the rig show', async () => {
    const shock = bench.logbook.listShocks()[0]!;
    const lone = bench.logbook.createBuild({ shockId: shock.id, name: 'once only' });
    enterSlowStrokes(bench.logbook, lone.id, 'spring-pull');
    expect(await refused(`/api/more-remounts?have=${lone.id}`)).toMatchObject({
      status: 404,
      code: 'nothing-to-compare',
      found: '‘once only’ without a complete recording that can be analysed',
      where: 'query.have',
    });
    for (const id of [5, 6]) bench.logbook.discardRecording(id as never, 'not needed here');
    const { answer } = await asked<RemountsBody>(`/api/more-remounts?have=${single}`);
    expect(answer).toMatchObject({ basis: 'remounts', seenIn: 3, recorded: 1, now: null, wanted: null });
  });
});

it('takes no spring pull and no travel sweep for a remount of the shock', async () => {
  const { have } = await asked<MatchBody>(`/api/match?have=${soft}&target=${single}`);
  expect(have.recordingIds).toEqual([1, 2, 3]);
});
