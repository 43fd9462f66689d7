import { beforeAll, describe, expect, it } from 'vitest';
import {
  everywhere,
  type RecordingAnalysis,
  type Refusal,
  type Tolerance,
  type TypedPoint,
} from '../../analysis/index.js';
import {
  holeAnswer,
  matchAnswer,
  type OilQuestion,
  oilAnswer,
  oilsOf,
  type Target,
} from '../../dashboard/answers/index.js';
import { holeSentences, matchSentences, oilSentences } from '../../dashboard/wording/index.js';
import { analysedLadder } from './analysed-ladder.js';

/** Ladders on linear shocks: three remounts, one a quarter stiffer, one with half the drag. */
let builds: RecordingAnalysis[];
let stiffer: RecordingAnalysis;
let smooth: RecordingAnalysis;

beforeAll(async () => {
  builds = [];
  for (const seed of [1, 2, 3])
    builds.push(await analysedLadder({ seed, drag_N: 1.2, damping_Ns_per_m: 22 + 0.02 * seed }));
  stiffer = await analysedLadder({ seed: 4, drag_N: 1.2, damping_Ns_per_m: 27.5 });
  smooth = await analysedLadder({ seed: 5, drag_N: 0.6, damping_Ns_per_m: 22 });
}, 120_000);

type Outcome<Answer> = { ok: true; answer: Answer } | { ok: false; refusal: Refusal<string> };
function answered<Answer>(outcome: Outcome<Answer>): Answer {
  if (!outcome.ok) throw new Error(`${outcome.refusal.found}; ${outcome.refusal.wanted}`);
  return outcome.answer;
}
const curve = (points: readonly [number, number][], temperature_degC: number | null = null): Target => ({
  kind: 'curve',
  points: points.map(([v, force_N]): TypedPoint => ({ velocity_m_per_s: v / 1e3, force_N })),
  temperature_degC,
});
const recordings = (...analyses: RecordingAnalysis[]): Target => ({ kind: 'recordings', analyses });

describe('a match', () => {
  const matched = (target: Target, tolerances: readonly Tolerance[], analyses = builds) =>
    answered(matchAnswer({ analyses, target, tolerances, kind: 'damping' }));

  it('is within on its target, outside far from it, undecided at the limit', () => {
    expect(matched(recordings(smooth), everywhere(5)).verdict).toBe('within');
    expect(matched(recordings(stiffer), everywhere(5)).verdict).toBe('outside');
    const limit = 100 * (1 - 22.04 / 27.5);
    expect(matched(recordings(stiffer), everywhere(limit)).verdict).toBe('undecided');
  });

  it('asks more of one direction where told to, and names its speed', () => {
    const off = curve([
      [100, 2.2],
      [-100, -2.3],
    ]);
    expect(matched(off, everywhere(6)).verdict).toBe('within');
    const strict = [{ ...everywhere(1)[0]!, direction: 'rebound' as const }, ...everywhere(6)];
    const answer = matched(off, strict);
    expect(answer).toMatchObject({ verdict: 'outside', worst: { velocity_m_per_s: -0.1 } });
    expect(matchSentences(answer)[0]).toMatch(
      /^Outside: in rebound at 100 mm\/s the damping is 4\.\d+ % below/,
    );
  });

  it('brings the build to the temperature of the curve', () => {
    const points: readonly [number, number][] = [
      [100, 2.2 * 0.86],
      [-100, -2.2 * 0.86],
    ];
    // 7 K above the recordings' 24.1 °C silicone oil has 0.87 of its viscosity.
    expect(matched(curve(points, 31), everywhere(8)).verdict).toBe('within');
    expect(matched(curve(points, 24.1), everywhere(8)).verdict).toBe('outside');
  });

  it('does not judge what was not measured, and marks what is led on', () => {
    const far = matched(
      curve([
        [150, 3.3],
        [400, 8.8],
      ]),
      everywhere(5),
    );
    expect(far.verdict).toBe('undecided');
    expect(far.unmeasured).toMatchObject([{ direction: 'compression', to_m_per_s: 0.4 }]);
    expect(matchSentences(far).join(' ')).toMatch(
      /the target goes on to 400 mm\/s, but only \d+ mm\/s was measured/,
    );
    const fastest = far.unmeasured[0]!.from_m_per_s * 1e3;
    const near = matched(curve([[1.05 * fastest, 1.05 * 0.022 * fastest]]), everywhere(5));
    expect(near.extrapolated).toBe(true);
  });

  it('says how many remounts would decide it, once their spread is known', () => {
    const { value, high95 } = matched(curve([[100, 2.2]]), everywhere(5)).worst.deviation_percent;
    const justOpen = everywhere(Math.abs(value) + 0.8 * (high95 - value));
    const answer = matched(curve([[100, 2.2]]), justOpen);
    expect(answer.verdict).toBe('undecided');
    expect(answer.remountsToDecide).toBeGreaterThan(3);
    expect(answer.remountsToDecide).toBeLessThanOrEqual(6);
    const single = matched(curve([[100, 2.2]]), justOpen, [builds[0]!]);
    expect(single.remountsToDecide).toBeNull();
    expect(matchSentences(single).join(' ')).toContain('One recording only');
  });

  it('of a total force counts the drag', () => {
    const total = (target: Target) =>
      answered(matchAnswer({ analyses: builds, target, tolerances: everywhere(5), kind: 'total' }));
    expect(total(recordings(smooth)).verdict).toBe('outside');
    expect(total(curve([[100, 3.4]])).verdict).toBe('within');
  });
});

const { oils } = oilsOf([250, 300, 375, 500].map((oil_cSt) => ({ name: `bottle ${oil_cSt}`, oil_cSt }))) as {
  oils: OilQuestion['shelf'];
};
const bottle = (name: number) => oils.find(({ label }) => label === `bottle ${name}`)!;

describe('an oil plan', () => {
  const planned = (have: RecordingAnalysis, want: Target, change: Partial<OilQuestion> = {}) =>
    answered(
      oilAnswer({
        have: [have],
        want,
        present: bottle(300),
        shelf: oils,
        tolerances: everywhere(5),
        ...change,
      }),
    );

  it('names the bottle whose viscosity is wanted', () => {
    const plan = planned(builds[0]!, recordings(stiffer));
    expect(plan).toMatchObject({ advice: 'shelf-oil', shelf: [{ label: 'bottle 375' }, {}, {}, {}] });
    expect(Math.abs(plan.viscosityRatio.value / 1.25 - 1)).toBeLessThan(0.02);
    expect(plan.wantedViscosity_cSt!.low95).toBeLessThan(375);
    expect(plan.wantedViscosity_cSt!.high95).toBeGreaterThan(375);
  });

  it('mixes two where none alone comes near enough', () => {
    const change = { present: bottle(250), tolerances: everywhere(2) };
    const plan = planned(builds[0]!, recordings(stiffer), change);
    expect(plan).toMatchObject({ advice: 'blend', blend: { thin: 'bottle 300', thick: 'bottle 375' } });
    expect(plan.blend!.viscosity_cSt).toBeCloseTo(312, -1);
    expect(oilSentences(plan)[0]).toMatch(
      /^Mix \d+ % 'bottle 300' with \d+ % 'bottle 375' by volume, about 31\d cSt/,
    );
  });

  it('says to drill where the thinnest is too thick, and that the thickest is too thin', () => {
    const thinner = planned(stiffer, recordings(smooth), { present: bottle(250) });
    expect(thinner.advice).toBe('drill');
    expect(oilSentences(thinner)[0]).toMatch(
      /even the thinnest, 'bottle 250' \(250 cSt\), is 1\.\d times as thick as wanted/,
    );
    expect(planned(smooth, recordings(stiffer), { present: bottle(500) }).advice).toBe('thicker-oil-needed');
  });

  it('goes through the shelf where nobody knows what is in the shock', () => {
    const plan = planned(builds[0]!, recordings(stiffer), { present: null });
    expect(plan.advice).toBe('present-oil-unknown');
    expect(plan.shelf.every(({ viscosityOverWanted }) => viscosityOverWanted === null)).toBe(true);
    expect(plan.ifPresent).toContainEqual({
      present: 'bottle 300',
      wantedViscosity_cSt: expect.closeTo(375, -1),
      nearest: 'bottle 375',
    });
  });

  it('keeps an oil that is right, and says what drag leaves different', () => {
    const plan = planned(smooth, recordings(builds[0]!));
    expect(plan.advice).toBe('keep-oil');
    expect(plan.total!.dragLost_N).toBeCloseTo(0.6, 1);
    expect(oilSentences(plan).join(' ')).toMatch(
      /drags 0\.\d+ N less than the wanted one\. No oil makes up for drag/,
    );
  });

  it('restores a total force over the speeds that matter, with the bottle for it', () => {
    const restore = (from_m_per_s?: number) =>
      planned(smooth, recordings(builds[0]!), {
        restore: from_m_per_s === undefined ? {} : { from_m_per_s },
        tolerances: everywhere(10),
      });
    const all = restore();
    expect(all).toMatchObject({ restores: 'total', remaining: null });
    expect(all.viscosityRatio.low95).toBeGreaterThan(1.05);
    expect(all.total!.notRestoredBelow_m_per_s.rebound).toBeGreaterThan(0.02);
    expect(restore(0.15).viscosityRatio.value).toBeLessThan(all.viscosityRatio.value);
  });

  it('restores nothing from a written curve, which has no drag', () => {
    const outcome = oilAnswer({
      ...{ have: [smooth], want: curve([[100, 3]]), present: null, shelf: [], tolerances: everywhere(5) },
      restore: {},
    });
    expect(outcome).toMatchObject({ ok: false, side: 'want', refusal: { code: 'no-former-build' } });
  });
});

describe('a shelf of oils', () => {
  it('may measure one against another, in any order, but not in a ring', () => {
    const against = (name: string, other: string) => ({
      name,
      measured: { against: other, ratio: 1.2, standardError: 0.01 },
    });
    const made = oilsOf([against('c', 'b'), against('b', 'a'), { name: 'a', oil_cSt: 100 }]);
    if (!made.ok) throw new Error(made.refusal.found);
    expect(made.oils.map(({ label }) => label)).toEqual(['c', 'b', 'a']);
    expect(made.oils[0]!.viscosity25_m2_per_s * 1e6).toBeCloseTo(144, 9);
    expect(oilsOf([against('c', 'b'), against('b', 'c')])).toMatchObject({
      ok: false,
      refusal: { code: 'unknown-reference' },
    });
  });

  it('has each name once', () => {
    const twice = { name: 'a', oil_cSt: 100 };
    expect(oilsOf([twice, twice])).toMatchObject({ ok: false, refusal: { code: 'same-name' } });
  });
});

describe('a plan for holes', () => {
  const piston = { bore_mm: 12, rod_mm: 3, holes: 4, hole_mm: 1.4, thickness_mm: 2.5, oil_cSt: 350 };
  const planned = (change: Partial<Parameters<typeof holeAnswer>[0]> = {}) =>
    answered(
      holeAnswer({
        have: builds,
        want: curve(
          [
            [100, 1.9],
            [-100, -1.9],
          ],
          24.1,
        ),
        piston,
        ...change,
      }),
    );

  it('asks for larger holes where less damping is wanted, first by the drill below', () => {
    const plan = planned();
    expect(plan.advice).toBe('drill');
    expect(plan.hole_mm.value).toBeGreaterThan(1.4);
    expect(plan.drills[0]!.diameter_mm).toBeLessThanOrEqual(plan.hole_mm.value);
    expect(holeSentences(plan)[0]).toMatch(/^Bring all four holes to 1\.\d+ ± 0\.\d+ mm\. Take the /);
  });

  it('is less certain without the oil, and says so', () => {
    const { oil_cSt: _, ...unknown } = piston;
    const plan = planned({ piston: unknown });
    expect(plan.present).toBeNull();
    expect(plan.hole_mm.standardError).toBeGreaterThan(planned().hole_mm.standardError);
    expect(holeSentences(plan).join(' ')).toContain('The oil is not given');
  });

  it('needs larger holes for the same force in colder oil', () => {
    const at = (degC: number) =>
      planned({
        want: curve(
          [
            [100, 1.9],
            [-100, -1.9],
          ],
          degC,
        ),
      }).hole_mm.value;
    expect(at(18)).toBeGreaterThan(at(30) + 0.03);
  });

  it('may drill some holes, or more of them, of mixed sizes', () => {
    const mixed = { ...piston, holes: 3, more_holes: [{ holes: 1, hole_mm: 1.5 }] };
    const some = planned({ piston: mixed, change: { kind: 'some', count: 2 } });
    expect(holeSentences(some)[0]).toMatch(/^Bring two holes of 4 to /);
    expect(some.hole_mm.value).toBeGreaterThan(planned({ piston: mixed }).hole_mm.value);
    const more = planned({ change: { kind: 'add', count: 1 } });
    expect(holeSentences(more)[0]).toMatch(/^Add one hole of /);
    expect(more.hole_mm.value).toBeLessThan(1.5);
  });

  it('leaves holes alone that give the target already, whatever hole would be exact, unless the oil is to change', () => {
    const plan = planned({ want: recordings(builds[0]!) });
    expect(plan.advice).toBe('keep-holes');
    expect(holeSentences(plan)[0]).toMatch(
      /^Leave the piston as it is: 1\.(39|40)\d ± 0\.0\d+ mm would be right, and 1\.40? mm are there\.$/,
    );
    const wide = planned({ tolerances: everywhere(90) });
    expect(holeSentences(wide)[0]).toBe('Leave the piston as it is: the damping is inside the tolerance.');
    const inThicker = planned({ want: recordings(builds[0]!), chosen: bottle(500) });
    expect(inThicker.advice).toBe('drill');
  });

  it('turns to thicker oil where the holes are too large', () => {
    const plan = planned({
      want: curve(
        [
          [100, 4],
          [-100, -4],
        ],
        24.1,
      ),
    });
    expect(plan.advice).toBe('holes-too-large');
    expect(holeSentences(plan)[0]).toMatch(/^The holes are too large already/);
  });

  it('is refused for a piston that cannot be, naming the side', () => {
    const outcome = holeAnswer({
      have: builds,
      want: recordings(stiffer),
      piston: { ...piston, hole_mm: 4.6 },
    });
    expect(outcome).toMatchObject({ ok: false, side: 'piston', refusal: { code: 'holes-do-not-fit' } });
  });
});
