import { describe, expect, it } from 'vitest';
import {
  estimateOf,
  fromNewtonPerMetre,
  type Oil,
  planHoles,
  planOil,
  restoreTotal,
  springForMass,
  toNewtonPerMetre,
  withSpacers,
} from '../../analysis/index.js';
import { oil } from './oil/bottle.js';
import { measurableSpeed_m_per_s, measuredCurve, type OutsidePiston } from './piston/outside-flow.js';
import { randomFrom } from './played/random.js';

/**
 * Rules of the trade, all of them common practice, no source; shocks and shelf are invented. A label is no viscosity,
 * so that each bottle here carries its own.
 */
const shelf = {
  '7 wt': oil('7 wt', 70),
  '10 wt': oil('10 wt', 110),
  '15 wt': oil('15 wt', 170),
  '20 wt': oil('20 wt', 220),
  '25 wt': oil('25 wt', 290),
  '30 wt': oil('30 wt', 360),
  '35 wt': oil('35 wt', 430),
  '40 wt': oil('40 wt', 510),
} satisfies Record<string, Oil>;
const bottles = Object.values(shelf);

const piston: OutsidePiston = {
  bore_m: 12.7e-3,
  shaft_m: 3.5e-3,
  thickness_m: 2.5e-3,
  holes: [{ count: 4, diameter_m: 1.6e-3 }],
  gap_m: 0.07e-3,
  eccentricity: 0.5,
  lossCompression: 2.1,
  lossRebound: 1.9,
  viscosity_m2_per_s: 290e-6,
  density_kg_per_m3: 968,
};

function curveOf(change: Partial<OutsidePiston>, seed = 1) {
  const shock = { ...piston, ...change };
  return measuredCurve(shock, {
    fastest_m_per_s: measurableSpeed_m_per_s(shock),
    temperature_degC: 25,
    noise: 0.003,
    random: randomFrom(seed),
  });
}

const friction = (drag: number) => ({
  mean_N: estimateOf(drag, 0.02),
  compression_N: estimateOf(drag, 0.03),
  rebound_N: estimateOf(drag, 0.03),
  breakaway_N: null,
});

const restored = (damping: ReturnType<typeof curveOf>, before: number, after: number, present: Oil) => {
  const outcome = restoreTotal(
    { damping, friction: friction(before) },
    { damping, friction: friction(after) },
    { present },
  );
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.restored;
};

const oilPlan = (...args: Parameters<typeof planOil>) => {
  const outcome = planOil(...args);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.plan;
};

describe('after a much lower-drag seal on a 3.5 mm shaft, one oil step thicker', () => {
  const oneStep = shelf['30 wt'].viscosity25_m2_per_s / shelf['25 wt'].viscosity25_m2_per_s;

  it('is right within a factor of 1.15 either way', () => {
    for (const [before, after] of [
      [1.3, 0.5],
      [1.1, 0.4],
      [1.0, 0.5],
    ] as const) {
      const { viscosityRatio } = restored(curveOf({}), before, after, shelf['25 wt']);
      expect(viscosityRatio.value / oneStep).toBeGreaterThan(1 / 1.15);
      expect(viscosityRatio.value / oneStep).toBeLessThan(1.15);
    }
  });

  it('never is at the slowest speeds, and the tool says up to where', () => {
    const { notRestoredBelow_m_per_s } = restored(curveOf({}), 1.3, 0.5, shelf['25 wt']);
    expect(notRestoredBelow_m_per_s.compression).toBeGreaterThan(0.04);
    expect(notRestoredBelow_m_per_s.compression).toBeLessThan(0.25);
  });

  it('fails on a lightly damped shock, where the tool asks for several steps', () => {
    const light = curveOf({ viscosity_m2_per_s: 110e-6, holes: [{ count: 6, diameter_m: 1.8e-3 }] });
    const { viscosityRatio, wantedViscosity25_m2_per_s } = restored(light, 1.3, 0.5, shelf['10 wt']);
    expect(viscosityRatio.low95).toBeGreaterThan(1.3 * oneStep);
    expect(wantedViscosity25_m2_per_s!.value).toBeGreaterThan(shelf['15 wt'].viscosity25_m2_per_s);
  });
});

describe('below about 10 wt, drill instead and begin again near 25 wt', () => {
  const have = curveOf({});
  const geometry = { ...piston, gap_m: null, countersunk_m: 0 };
  const soft = curveOf({ holes: [{ count: 4, diameter_m: 2.15e-3 }] }, 2);

  it('agrees with the tool where the target asks for an oil thinner than that', () => {
    const fromTen = bottles.filter(
      (bottle) => bottle.viscosity25_m2_per_s >= shelf['10 wt'].viscosity25_m2_per_s,
    );
    const { advice, wantedViscosity25_m2_per_s, viscousShare } = oilPlan(have, soft, {
      present: shelf['25 wt'],
      shelf: fromTen,
    });
    expect(advice).toBe('drill');
    expect(wantedViscosity25_m2_per_s!.value).toBeLessThan(1.1 * shelf['10 wt'].viscosity25_m2_per_s);
    expect(viscousShare).toBeLessThan(0.6);
    const outcome = planHoles(have, soft, geometry, { present: shelf['25 wt'] });
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    expect(outcome.plan.advice).toBe('drill');
    expect(Math.abs(outcome.plan.hole_mm.value - 2.15)).toBeLessThan(0.05);
  });

  it('fails for a piston with long narrow holes, which a thin oil still serves: the tool names the bottle', () => {
    const narrow: Partial<OutsidePiston> = {
      thickness_m: 4e-3,
      holes: [{ count: 12, diameter_m: 1.1e-3 }],
      viscosity_m2_per_s: 220e-6,
    };
    const target = curveOf({ ...narrow, viscosity_m2_per_s: 72e-6 }, 3);
    const {
      advice,
      shelf: choices,
      viscousShare,
    } = oilPlan(curveOf(narrow), target, {
      present: shelf['20 wt'],
      shelf: bottles,
    });
    expect(advice).toBe('shelf-oil');
    expect(choices[0]!.oil.label).toBe('7 wt');
    expect(viscousShare).toBeGreaterThan(0.5);
  });
});

describe('a 1.1 lbf/in spring for the lighter pack, 1.6 lbf/in for the heavier', () => {
  const springs = [1.1, 1.35, 1.6].map((rate) => ({
    label: `${rate} lbf/in`,
    rate_N_per_m: toNewtonPerMetre(rate, 'lbf/in'),
  }));
  const present = estimateOf(springs[0]!.rate_N_per_m, 2);
  const ride = (before_kg: number, after_kg: number) => {
    const outcome = springForMass(present, before_kg, after_kg, springs);
    if (!outcome.ok) throw new Error();
    return outcome.ride;
  };

  it('is right within a factor of 1.1 for corners of 0.42 and 0.60 kg', () => {
    const { wanted_N_per_m, shelf: choices } = ride(0.42, 0.6);
    const wanted = fromNewtonPerMetre(wanted_N_per_m.value, 'lbf/in');
    expect(wanted / 1.6).toBeGreaterThan(1 / 1.1);
    expect(wanted / 1.6).toBeLessThan(1.1);
    expect(choices[0]!.spring.label).toBe('1.6 lbf/in');
  });

  it('fails where the heavier pack adds a tenth only: the tool keeps the softer spring', () => {
    const { shelf: choices } = ride(0.5, 0.55);
    expect(choices[0]!.spring.label).toBe('1.1 lbf/in');
    expect(choices.at(-1)!.frequencyChange_percent).toBeGreaterThan(10);
  });
});

describe('a spacer takes its own length from down travel', () => {
  const spaced = (underPiston_m: number) => {
    const outcome = withSpacers({ travel_m: 0.03, standing_m: 0.008 }, { underPiston_m, outside_m: 0 });
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    return outcome.spaced;
  };

  it('is right exactly while the shock stands deeper than the spacer is long', () => {
    for (const length of [0.001, 0.004, 0.008]) expect(spaced(length).down_m).toBeCloseTo(0.008 - length, 12);
  });

  it('fails beyond that: no way down is left to take, and the way up shrinks', () => {
    expect(spaced(0.01).down_m).toBe(0);
    expect(spaced(0.01).up_m).toBeCloseTo(0.02, 12);
    expect(spaced(0.008).up_m).toBeCloseTo(0.022, 12);
  });
});
