import { describe, expect, it } from 'vitest';
import {
  type Corner,
  dampingRatios,
  gravity_m_per_s2,
  landFrom,
  overviewOf,
  pushAndRelease,
  refuseCorner,
  shockTravel_m,
  standingOf,
  toNewtonPerMetre,
  wheelRate_N_per_m,
  wheelSpring_N,
  wheelTravel_m,
} from '../../../analysis/index.js';
import { law, truck } from './played-corner.js';

const overview = (corner: Corner, options = {}) => {
  const outcome = overviewOf(corner, options);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.overview;
};

const landing = (corner: Corner, drop_m: number, seconds?: number) => {
  const outcome = landFrom(corner, drop_m, seconds);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.landing;
};

describe('a corner at rest', () => {
  it('carries its weight with preload and spring', () => {
    const { sag_m, frequency_Hz, state } = standingOf(truck);
    expect(sag_m).toBeCloseTo((0.55 * gravity_m_per_s2 - 0.6) / 200, 10);
    expect(frequency_Hz).toBeCloseTo(Math.sqrt(200 / 0.55) / (2 * Math.PI), 10);
    expect(state).toBe('free');
  });

  it('is half as high a spring at the wheel through a lever of 0.7', () => {
    const lever: Corner = { ...truck, motionRatio: 0.7 };
    expect(wheelRate_N_per_m(lever, 0.01)).toBeCloseTo(98, 10);
    expect(standingOf(lever).shockSag_m).toBeCloseTo(0.7 * standingOf(lever).sag_m, 12);
  });

  it('feels a varying motion ratio in its rate as the slope of its force', () => {
    const lever: Corner = { ...truck, motionRatio: 0.6, motionRatioSlope_per_m: 4 };
    for (const wheel of [0, 0.01, 0.03]) {
      const slope = (wheelSpring_N(lever, wheel + 1e-6) - wheelSpring_N(lever, wheel - 1e-6)) / 2e-6;
      expect(wheelRate_N_per_m(lever, wheel)).toBeCloseTo(slope, 5);
      expect(wheelTravel_m(lever, shockTravel_m(lever, wheel))).toBeCloseTo(wheel, 12);
    }
  });

  it('stays at full extension under more preload than weight, and at the stop under too soft a spring', () => {
    expect(standingOf({ ...truck, preload_N: 8 }).state).toBe('topped-out');
    expect(standingOf({ ...truck, spring_N_per_m: 60 }).state).toBe('bottomed');
  });

  it('has two frequencies on a tyre, the lower below and the upper above those of the parts', () => {
    const { frequency_Hz, wheelHop_Hz } = standingOf({ ...truck, unsprung_kg: 0.18, tyre_N_per_m: 2500 });
    expect(frequency_Hz).toBeLessThan(standingOf(truck).frequency_Hz);
    expect(frequency_Hz).toBeGreaterThan(0.9 * standingOf(truck).frequency_Hz);
    expect(wheelHop_Hz!).toBeGreaterThan(Math.sqrt(2700 / 0.18) / (2 * Math.PI));
  });
});

describe('damping ratios', () => {
  const standing = standingOf(truck);
  const [slow, fast] = dampingRatios(truck, standing, [0.03, 0.4]);

  it('grow at low speed by drag and at high speed by the quadratic part', () => {
    expect(slow!.dragShare).toBeGreaterThan(0.5);
    expect(fast!.dragShare).toBeLessThan(0.15);
    const withoutDrag = dampingRatios(
      { ...truck, drag_N: { compression: 0, rebound: 0 } },
      standing,
      [0.03],
    )[0]!;
    expect(slow!.total / withoutDrag.total).toBeCloseTo(1 / (1 - slow!.dragShare), 8);
  });

  it('go with the square of the motion ratio and say where the curve was not measured', () => {
    const lever: Corner = { ...truck, motionRatio: 0.5, spring_N_per_m: 800 };
    const ratio = dampingRatios(lever, standingOf(lever), [0.4])[0]!.total;
    expect(ratio / fast!.total).toBeCloseTo(0.25, 2);
    expect(dampingRatios(truck, standing, [0.6])[0]!.extrapolated).toBe(true);
  });
});

describe('a body pushed down and let go', () => {
  it('swings with the frequency and decay of its linear damping', () => {
    const linear: Corner = { ...truck, damping: law(6), drag_N: { compression: 0, rebound: 0 } };
    const outcome = pushAndRelease(linear, 0.01);
    if (!outcome.ok) throw new Error();
    const { dampingRatio, frequency_Hz, restsOff_m } = outcome.response;
    const { critical_Ns_per_m, frequency_Hz: natural } = standingOf(linear);
    const ratio = 6 / critical_Ns_per_m;
    expect(dampingRatio).toBeCloseTo(ratio, 2);
    expect(frequency_Hz!).toBeCloseTo(natural * Math.sqrt(1 - ratio ** 2), 1);
    expect(Math.abs(restsOff_m)).toBeLessThan(1e-5);
  });

  it('comes to rest off its height by as much as drag holds', () => {
    const outcome = pushAndRelease(truck, 0.012);
    if (!outcome.ok) throw new Error();
    const { sagDrag_m } = standingOf(truck);
    expect(Math.abs(outcome.response.restsOff_m)).toBeLessThanOrEqual(1.01 * sagDrag_m);
    expect(Math.abs(outcome.response.restsOff_m)).toBeGreaterThan(0.05 * sagDrag_m);
  });
});

describe('a landing', () => {
  it('loses no energy: what was given is damped, stored or still moving', () => {
    for (const corner of [truck, { ...truck, unsprung_kg: 0.15, tyre_N_per_m: 2500 }])
      for (const drop of [0.05, 0.15]) {
        const { energy } = landing(corner, drop, 0.5);
        const found = energy.damping + energy.drag + energy.stored + energy.kinetic;
        expect(Math.abs(found / energy.given - 1)).toBeLessThan(1e-3);
      }
  });

  it('of an undamped body uses the travel that the energy balance asks for', () => {
    const free: Corner = {
      ...truck,
      travel_m: 0.3,
      preload_N: 0,
      damping: law(1e-9),
      drag_N: { compression: 0, rebound: 0 },
    };
    const weight = 0.55 * gravity_m_per_s2;
    const wanted = (weight + Math.sqrt(weight ** 2 + 2 * 200 * weight * 0.1)) / 200;
    expect(landing(free, 0.1).travelUsed_m).toBeCloseTo(wanted, 5);
  });

  it('uses more travel from higher, until the stop is reached with speed left', () => {
    const used = [0.02, 0.05, 0.1].map((drop) => landing(truck, drop).travelUsed_m);
    expect(used[1]!).toBeGreaterThan(used[0]!);
    const hard = landing(truck, 1);
    expect(hard.stopReached).toBe(true);
    expect(hard.travelUsed_m).toBe(truck.travel_m);
    expect(hard.speedAtStop_m_per_s).toBeGreaterThan(0.1);
    expect(hard.energyAtStop_J).toBeGreaterThan(0);
    expect(hard.energyAtStop_J).toBeLessThan(0.55 * gravity_m_per_s2 * 1.05);
    expect(landing(truck, 0.02).stopReached).toBe(false);
  });

  it('is stopped earlier by more damping', () => {
    const { travelUsed_m } = landing({ ...truck, damping: law(20, 20, 0.5) }, 0.05);
    expect(travelUsed_m).toBeLessThan(landing(truck, 0.05).travelUsed_m);
  });

  it('says where the shock moves faster than it was measured', () => {
    expect(landing(truck, 0.2).extrapolated).toBe(true);
    expect(landing({ ...truck, damping: law(9, 6, 4) }, 0.2).extrapolated).toBe(false);
  });

  it('on a tyre under a wheel of next to nothing is that of two springs in a row', () => {
    const free: Corner = {
      ...truck,
      unsprung_kg: 0.004,
      tyre_N_per_m: 1500,
      travel_m: 0.3,
      preload_N: 0,
      damping: law(1e-9),
      drag_N: { compression: 0, rebound: 0 },
    };
    const weight = 0.55 * gravity_m_per_s2;
    const rate = 1 / (1 / 200 + 1 / 1500);
    const whole = (weight + Math.sqrt(weight ** 2 + 2 * rate * weight * 0.1)) / rate;
    const share = landing(free, 0.1).travelUsed_m / ((whole * rate) / 200);
    expect(share).toBeGreaterThan(0.98);
    expect(share).toBeLessThan(1.005);
  });

  it('uses more travel over a heavier wheel, whose energy comes on top', () => {
    const on = (unsprung_kg: number) =>
      landing({ ...truck, unsprung_kg, tyre_N_per_m: 1500 }, 0.04).travelUsed_m;
    expect(on(0.3)).toBeGreaterThan(on(0.1));
  });
});

describe('an overview', () => {
  it('recognises a spring for a lever-actuated suspension on an axle', () => {
    const lever = toNewtonPerMetre(9, 'lbf/in');
    const { warnings } = overview({ ...truck, spring_N_per_m: lever });
    expect(warnings.map(({ code }) => code)).toContain('lever-spring-on-axle');
    const { frequency_Hz, ratioThatSuits } = warnings.find(
      ({ code }) => code === 'lever-spring-on-axle',
    )!.values;
    expect(frequency_Hz).toBeGreaterThan(8);
    expect(
      standingOf({ ...truck, spring_N_per_m: lever, motionRatio: ratioThatSuits! }).frequency_Hz,
    ).toBeCloseTo(3, 6);
    const onLever = overview({ ...truck, spring_N_per_m: lever, motionRatio: 0.4 });
    expect(onLever.warnings.map(({ code }) => code)).not.toContain('lever-spring-on-axle');
  });

  it('warns of nothing where all is as usual', () => {
    expect(overview({ ...truck, drag_N: { compression: 0.1, rebound: 0.1 } }).warnings).toEqual([]);
  });

  it('warns of drag that does most of the damping', () => {
    const sticky = overview({ ...truck, drag_N: { compression: 1.6, rebound: 1.6 } });
    expect(sticky.warnings.map(({ code }) => code)).toContain('drag-dominates');
  });

  it('puts packs beside each other: heavier sags more, rides slower, uses more travel', () => {
    const heavier: Corner = { ...truck, label: 'heavy pack', sprung_kg: 0.75 };
    const [light, heavy] = [truck, heavier].map((corner) => overview(corner, { drop_m: 0.03 }));
    expect(heavy!.standing.sag_m).toBeGreaterThan(light!.standing.sag_m);
    expect(heavy!.standing.frequency_Hz).toBeLessThan(light!.standing.frequency_Hz);
    expect(heavy!.landing!.travelUsed_m).toBeGreaterThan(light!.landing!.travelUsed_m);
    const firmer = overview({ ...heavier, spring_N_per_m: (200 * 0.75) / 0.55 });
    expect(firmer.standing.frequency_Hz).toBeCloseTo(light!.standing.frequency_Hz, 10);
  });

  it.each([
    [{ sprung_kg: 0 }, 'sprung_kg'],
    [{ motionRatio: -1 }, 'motionRatio'],
    [{ motionRatio: 7 }, 'motionRatio'],
    [{ motionRatio: 0.5, motionRatioSlope_per_m: -20 }, 'motionRatioSlope_per_m'],
    [{ preload_N: -2 }, 'preload_N'],
    [{ tyre_N_per_m: 3000 }, 'unsprung_kg'],
    [{ drag_N: { compression: -1, rebound: 1 } }, 'drag_N'],
    [{ damping: { ...law(5), kind: 'total' } }, 'damping'],
  ] as [Partial<Corner>, keyof Corner][])('refuses %j', (change, field) => {
    expect(refuseCorner({ ...truck, ...change })?.field).toBe(field);
    expect(landFrom({ ...truck, ...change }, 0.1).ok).toBe(false);
  });

  it('refuses a drop from below ground', () => {
    const outcome = landFrom(truck, -1);
    expect(outcome.ok ? 'landed' : outcome.refusal.code).toBe('bad-drop');
  });
});
