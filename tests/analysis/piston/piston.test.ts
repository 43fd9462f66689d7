import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compressionCeiling_N,
  drillsAround,
  drillsOf,
  type Piston,
  pistonFlow,
  presentHole_m,
  refusePiston,
  withHoles,
} from '../../../analysis/index.js';
import { randomFrom } from '../played/random.js';
import { drawPiston, outsideForce_N } from './outside-flow.js';

const piston: Piston = {
  bore_m: 12e-3,
  shaft_m: 3.2e-3,
  thickness_m: 2.4e-3,
  holes: [{ count: 4, diameter_m: 1.2e-3 }],
  gap_m: 0.05e-3,
  countersunk_m: 0,
};

describe('a piston', () => {
  it('that can be made is accepted', () => {
    expect(refusePiston(piston)).toBeNull();
    expect(refusePiston({ ...piston, gap_m: null })).toBeNull();
  });

  it.each([
    [{ bore_m: -12e-3 }, 'bad-piston', 'bore_m'],
    [{ bore_m: Number.NaN }, 'bad-piston', 'bore_m'],
    [{ shaft_m: 12e-3 }, 'bad-piston', 'shaft_m'],
    [{ thickness_m: 0 }, 'bad-piston', 'thickness_m'],
    [{ countersunk_m: 3e-3 }, 'bad-piston', 'countersunk_m'],
    [{ holes: [] }, 'bad-piston', 'holes'],
    [{ holes: [{ count: 2.5, diameter_m: 1e-3 }] }, 'bad-piston', 'holes'],
    [{ holes: [{ count: 2, diameter_m: -1e-3 }] }, 'bad-piston', 'holes'],
    [{ gap_m: -0.05e-3 }, 'bad-piston', 'gap_m'],
    [{ gap_m: 0.7e-3 }, 'gap-too-wide', 'gap_m'],
    [{ holes: [{ count: 1, diameter_m: 4.4e-3 }] }, 'holes-do-not-fit', 'holes'],
    [{ holes: [{ count: 12, diameter_m: 3e-3 }] }, 'holes-overlap', 'holes'],
    [
      {
        holes: [
          { count: 5, diameter_m: 3e-3 },
          { count: 10, diameter_m: 1.5e-3 },
        ],
      },
      'holes-overlap',
      'holes',
    ],
  ] as [Partial<Piston>, string, string][])('with %j is refused: %s', (change, code, field) => {
    const refusal = refusePiston({ ...piston, ...change });
    expect([refusal?.code, refusal?.field]).toEqual([code, field]);
  });

  it('says what was found and what would do', () => {
    expect(refusePiston({ ...piston, holes: [{ count: 2, diameter_m: 5e-3 }] })).toMatchObject({
      found: 'a hole of 5 mm',
      wanted: 'less than the 4.35 mm between shaft and rim',
    });
  });

  it('can be pushed no harder in compression than the gas behind it pushes: 9 to 16 N for usual bores at 1 atm', () => {
    expect(compressionCeiling_N({ ...piston, bore_m: 11.5e-3 })).toBeCloseTo(9.7, 1);
    expect(compressionCeiling_N({ ...piston, bore_m: 14.5e-3 })).toBeCloseTo(15.9, 1);
    expect(compressionCeiling_N(piston, 2 * 101_325)).toBeCloseTo(2 * compressionCeiling_N(piston), 10);
  });

  it('is drilled in all, some or further holes', () => {
    const mixed: Piston = {
      ...piston,
      holes: [
        { count: 2, diameter_m: 1.4e-3 },
        { count: 4, diameter_m: 1e-3 },
      ],
    };
    expect(withHoles(mixed, { kind: 'some', count: 3 }, 1.2e-3).holes).toEqual([
      { count: 3, diameter_m: 1.2e-3 },
      { count: 1, diameter_m: 1e-3 },
      { count: 2, diameter_m: 1.4e-3 },
    ]);
    expect(withHoles(mixed, { kind: 'add', count: 2 }, 1.1e-3).holes).toHaveLength(3);
    expect(presentHole_m(mixed, { kind: 'some', count: 3 })).toBe(1e-3);
    expect(presentHole_m(mixed, { kind: 'all' })).toBe(1.4e-3);
    expect(presentHole_m(mixed, { kind: 'add', count: 2 })).toBe(0);
  });
});

describe('flow through a piston', () => {
  const fluid = { viscosity_m2_per_s: 350e-6, density_kg_per_m3: 968 };
  const unknowns = { gap_m: 0.05e-3, eccentricity: 0.5, loss: { compression: 2.2, rebound: 1.8 } };

  it('agrees with profiles integrated numerically within 0.01 %, for any piston drawn', () => {
    const random = randomFrom(3);
    for (let i = 0; i < 25; i++) {
      const outside = drawPiston(random);
      const { force } = pistonFlow({ ...outside, countersunk_m: 0 }, outside, {
        gap_m: outside.gap_m,
        eccentricity: outside.eccentricity,
        loss: { compression: outside.lossCompression, rebound: outside.lossRebound },
      });
      for (const v of [-0.4, -0.05, 0.02, 0.2, 0.5]) {
        const found = force(v).force_N;
        expect(Math.abs(found / outsideForce_N(outside, v) - 1)).toBeLessThan(1e-4);
      }
    }
  });

  it('goes there and back between velocity and force', () => {
    const { force, velocity_m_per_s } = pistonFlow(piston, fluid, unknowns);
    for (const v of [-0.7, -0.1, 0.003, 0.3]) expect(velocity_m_per_s(force(v).force_N)).toBeCloseTo(v, 10);
    expect(velocity_m_per_s(0)).toBe(0);
  });

  it('through mixed sizes is that of one size where all are alike', () => {
    const split: Piston = {
      ...piston,
      holes: [
        { count: 1, diameter_m: 1.2e-3 },
        { count: 3, diameter_m: 1.2e-3 },
      ],
    };
    const [one, two] = [piston, split].map((each) => pistonFlow(each, fluid, unknowns).force(0.3).force_N);
    expect(two).toBeCloseTo(one!, 10);
  });

  it('rises with speed, viscosity and thickness and falls with hole and gap', () => {
    const force = (change: Partial<Piston>, viscosity = 350e-6, gap_m = 0.05e-3, v = 0.3) =>
      pistonFlow(
        { ...piston, ...change },
        { ...fluid, viscosity_m2_per_s: viscosity },
        { ...unknowns, gap_m },
      ).force(v).force_N;
    fc.assert(
      fc.property(fc.double({ min: 1.01, max: 2, noNaN: true }), (factor) => {
        const base = force({});
        expect(force({}, 350e-6 * factor)).toBeGreaterThan(base);
        expect(force({ thickness_m: 2.4e-3 * factor })).toBeGreaterThan(base);
        expect(force({}, 350e-6, 0.05e-3, 0.3 * factor)).toBeGreaterThan(base);
        expect(force({ holes: [{ count: 4, diameter_m: 1.2e-3 * factor }] })).toBeLessThan(base);
        expect(force({}, 350e-6, 0.05e-3 * factor)).toBeLessThan(base);
      }),
      { numRuns: 30 },
    );
  });

  it('tells how much goes round the piston and how far from turbulence its holes are', () => {
    const { leakShare, reynolds } = pistonFlow(piston, fluid, unknowns).force(0.4);
    expect(leakShare).toBeGreaterThan(0.003);
    expect(leakShare).toBeLessThan(0.1);
    expect(reynolds).toBeGreaterThan(10);
    expect(reynolds).toBeLessThan(300);
  });
});

describe('the drills around a hole', () => {
  it('are the one that does not overshoot and the two after it', () => {
    const { below, above } = drillsAround(1.33e-3, 1.2e-3, drillsOf(['metric']));
    expect(below.map(({ name }) => name)).toEqual(['1.30 mm']);
    expect(above.map(({ name }) => name)).toEqual(['1.35 mm', '1.40 mm']);
    const both = drillsAround(1.33e-3, 1.2e-3, drillsOf(['metric', 'number']));
    expect(both.below.map(({ name }) => name)).toEqual(['#55']);
  });

  it('never include one that the present hole swallows', () => {
    const { below, above } = drillsAround(1.23e-3, 1.2e-3, drillsOf(['metric']));
    expect(below).toEqual([]);
    expect(above[0]!.name).toBe('1.25 mm');
  });

  it('begin with the largest that the owner has, with a nearer one to buy after it', () => {
    const { below } = drillsAround(1.38e-3, 1.2e-3, drillsOf(['metric'], [1.25e-3, 1.3e-3, 1.4e-3]));
    expect(below.map(({ name }) => name)).toEqual(['1.30 mm', '1.35 mm']);
  });

  it('are marked where the owner has them, and joined by sizes of no set', () => {
    const around = drillsOf(['metric'], [1.3e-3, 1.3302e-3, 1.36e-3]).filter(
      ({ diameter_m }) => diameter_m > 1.29e-3 && diameter_m < 1.41e-3,
    );
    expect(around.map(({ name, owned, set }) => [name, owned, set])).toEqual([
      ['1.30 mm', true, 'metric'],
      ['1.33 mm', true, null],
      ['1.35 mm', false, 'metric'],
      ['1.36 mm', true, null],
      ['1.40 mm', false, 'metric'],
    ]);
  });
});
