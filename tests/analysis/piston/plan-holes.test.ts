import { describe, expect, it } from 'vitest';
import {
  type HolePlanOptions,
  inOtherOil,
  type Oil,
  type Piston,
  planHoles,
} from '../../../analysis/index.js';
import { oil } from '../oil/bottle.js';
import { type Random, randomFrom } from '../played/random.js';
import { drawPiston, measurableSpeed_m_per_s, measuredCurve, type OutsidePiston } from './outside-flow.js';

const geometry = (piston: OutsidePiston): Piston => ({
  bore_m: piston.bore_m,
  shaft_m: piston.shaft_m,
  thickness_m: piston.thickness_m,
  holes: piston.holes,
  gap_m: null,
  countersunk_m: 0,
});

const enlarged = (piston: OutsidePiston, factor: number): OutsidePiston => ({
  ...piston,
  holes: piston.holes.map(({ count, diameter_m }) => ({ count, diameter_m: diameter_m * factor })),
});

const planned = (...args: Parameters<typeof planHoles>) => {
  const outcome = planHoles(...args);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.plan;
};

/** A hidden piston and a larger-holed brother of it, measured as a recording would be. */
function hidden(seed: number, noise: number) {
  const random: Random = randomFrom(seed);
  const blank = drawPiston(random);
  const target = enlarged(blank, random.uniform(1.04, 1.2));
  const options = { fastest_m_per_s: measurableSpeed_m_per_s(blank), temperature_degC: 25, noise, random };
  return {
    blank,
    truth_mm: 1e3 * target.holes[0]!.diameter_m,
    have: measuredCurve(blank, options),
    want: measuredCurve(target, options),
    bottle: oil('bottle', blank.viscosity_m2_per_s * 1e6),
  };
}

describe('the hole of a target', () => {
  it('is found within 0.01 mm on pistons whose flow was computed another way', () => {
    const errors = Array.from({ length: 24 }, (_, i) => {
      const { blank, truth_mm, have, want, bottle } = hidden(i + 1, 0.004);
      return planned(have, want, geometry(blank), { present: bottle }).hole_mm.value - truth_mm;
    });
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.01);
    expect(errors.map(Math.abs).sort((a, b) => a - b)[12]).toBeLessThan(0.002);
  });

  it('has an interval that holds the truth, also where the bottle is off by its 5 %', () => {
    let covered = 0;
    for (let seed = 1; seed <= 24; seed++) {
      const { blank, truth_mm, have, want } = hidden(seed, 0.004);
      const off = oil(
        'bottle',
        blank.viscosity_m2_per_s * 1e6 * (1 + 0.05 * randomFrom(900 + seed).normal()),
      );
      const { hole_mm } = planned(have, want, geometry(blank), { present: off });
      if (truth_mm > hole_mm.low95 && truth_mm < hole_mm.high95) covered++;
      expect(hole_mm.high95 - hole_mm.low95).toBeLessThan(0.08);
    }
    expect(covered).toBeGreaterThanOrEqual(22);
  });

  it('is less certain where the oil is not known', () => {
    const { blank, have, want, bottle } = hidden(2, 0.004);
    const known = planned(have, want, geometry(blank), { present: bottle }).hole_mm.standardError;
    expect(planned(have, want, geometry(blank)).hole_mm.standardError).toBeGreaterThan(1.3 * known);
  });

  it('does not move when blank and target were measured at different temperatures', () => {
    const { blank, truth_mm, want, bottle } = hidden(5, 0);
    const warm = {
      ...blank,
      viscosity_m2_per_s: blank.viscosity_m2_per_s * 10 ** (763.1 / 304 - 763.1 / 298),
    };
    const have = measuredCurve(warm, {
      fastest_m_per_s: measurableSpeed_m_per_s(blank),
      temperature_degC: 31,
      noise: 0,
      random: randomFrom(1),
    });
    const { hole_mm, temperatureAssumed } = planned(have, want, geometry(blank), { present: bottle });
    expect(Math.abs(hole_mm.value - truth_mm)).toBeLessThan(0.01);
    expect(temperatureAssumed).toBe(false);
  });

  it('follows the oil that is chosen for the new holes', () => {
    const { blank, have, want, bottle } = hidden(3, 0);
    const thicker: Oil = oil('thicker', bottle.viscosity25_m2_per_s * 1.3e6);
    const same = planned(have, want, geometry(blank), { present: bottle }).hole_mm.value;
    const other = planned(have, want, geometry(blank), { present: bottle, chosen: thicker }).hole_mm.value;
    expect(other).toBeGreaterThan(same * 1.03);
  });

  it('may be a further hole, or some of several', () => {
    const { blank, have, bottle } = hidden(4, 0);
    const extra: OutsidePiston = { ...blank, holes: [...blank.holes, { count: 1, diameter_m: 1.1e-3 }] };
    const want = measuredCurve(extra, {
      fastest_m_per_s: measurableSpeed_m_per_s(blank),
      temperature_degC: 25,
      noise: 0,
      random: randomFrom(1),
    });
    const plan = planned(have, want, geometry(blank), { present: bottle, change: { kind: 'add', count: 1 } });
    expect(Math.abs(plan.hole_mm.value - 1.1)).toBeLessThan(0.02);
  });
});

describe('the drills of a plan', () => {
  const { blank, have, want, bottle, truth_mm } = hidden(8, 0.004);
  const plan = (options: HolePlanOptions = {}) =>
    planned(have, want, geometry(blank), { present: bottle, sets: ['metric'], ...options });

  it('begin below the solved hole and show the next two', () => {
    const { drills, hole_mm } = plan();
    expect(drills.map(({ role }) => role)).toEqual(['first', 'next', 'next']);
    expect(drills[0]!.drill.diameter_m * 1e3).toBeLessThanOrEqual(hole_mm.value);
    expect(hole_mm.value - drills[0]!.drill.diameter_m * 1e3).toBeLessThan(0.05);
    expect(drills[1]!.drill.diameter_m * 1e3).toBeGreaterThan(hole_mm.value);
  });

  it('carry the curve that they lead to, falling from drill to drill, with a band', () => {
    const forces = plan().drills.map(({ prediction }) => prediction.curve.points.at(-1)!);
    for (let i = 1; i < forces.length; i++) expect(forces[i]!.force_N).toBeLessThan(forces[i - 1]!.force_N);
    for (const { force_N, low95_N, high95_N } of forces) {
      expect((high95_N - low95_N) / force_N).toBeGreaterThan(0.01);
      expect((high95_N - low95_N) / force_N).toBeLessThan(0.25);
    }
  });

  it('say which oil brings an overshoot back', () => {
    const shelf = [1, 1.1, 1.2, 1.35].map((factor) =>
      oil(`${factor}`, factor * bottle.viscosity25_m2_per_s * 1e6),
    );
    const [first, next] = plan({ shelf }).drills;
    expect(first!.bringsBack).toBeNull();
    const { viscosityRatio } = next!.bringsBack!;
    expect(viscosityRatio.value).toBeGreaterThan(1);
    const back = inOtherOil(next!.prediction.curve, {
      viscosityRatio: viscosityRatio.value,
      densityRatio: 1,
    });
    const at = (curve: typeof back) => curve.points.at(-1)!;
    expect(at(back).force_N / at(next!.prediction.curve).force_N).toBeGreaterThan(1);
  });

  it('are none where the holes are too large already', () => {
    const { advice, hole_mm } = planned(
      want,
      have,
      geometry(enlarged(blank, truth_mm / (1e3 * blank.holes[0]!.diameter_m))),
      {
        present: bottle,
      },
    );
    expect(advice).toBe('holes-too-large');
    expect(hole_mm.value).toBeLessThan(truth_mm);
  });

  it('are marked where they leave the measured speeds, sizes or the flow model', () => {
    expect(plan().extrapolated).toBe(false);
    const fast = measuredCurve(enlarged(blank, 1.4), {
      fastest_m_per_s: 1.5 * measurableSpeed_m_per_s(blank),
      temperature_degC: 25,
      noise: 0,
      random: randomFrom(1),
    });
    const { beyond, extrapolated } = planned(have, fast, geometry(blank), { present: bottle });
    expect(extrapolated).toBe(true);
    expect(beyond).toContain('speed');
    expect(beyond).toContain('hole-size');
  });

  it('are refused for a piston that cannot be, and for a target out of reach', () => {
    const codeOf = (...args: Parameters<typeof planHoles>) => {
      const outcome = planHoles(...args);
      return outcome.ok ? 'planned' : outcome.refusal.code;
    };
    expect(codeOf(have, want, { ...geometry(blank), thickness_m: -1 })).toBe('bad-piston');
    expect(codeOf({ ...have, kind: 'total' }, want, geometry(blank))).toBe('not-damping');
    const thousandth = { ...have, points: have.points.map((p) => ({ ...p, force_N: p.force_N / 1e3 })) };
    expect(codeOf(have, thousandth, geometry(blank))).toBe('out-of-reach');
  });
});
