import { describe, expect, it } from 'vitest';
import {
  broughtTo,
  fastestOf,
  forceOn,
  inOtherOil,
  pdmsViscosityRatio,
  viscosityRatio,
} from '../../../analysis/index.js';
import { bothWays, lawCurve } from '../curves/law-curve.js';
import { randomFrom } from '../played/random.js';

const found = (...args: Parameters<typeof viscosityRatio>) => {
  const outcome = viscosityRatio(...args);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  return outcome.found;
};

describe('a piston in another oil', () => {
  it('has its linear part scaled by viscosity and density, its quadratic part by density', () => {
    const curve = inOtherOil(lawCurve(bothWays(30, 50)), { viscosityRatio: 1.4, densityRatio: 1.02 });
    const v = 0.3;
    expect(forceOn(curve, v)!.force_N).toBeCloseTo(1.02 * (1.4 * 30 * v + 50 * v * v), 10);
    expect(forceOn(curve, 0.4 * 1.4)!.extrapolated).toBe(false);
    expect(forceOn(curve, 0.4 * 1.4 + 0.01)!.extrapolated).toBe(true);
  });

  it('comes back unchanged after there and back', () => {
    const curve = lawCurve(bothWays(30, 50));
    const back = inOtherOil(inOtherOil(curve, { viscosityRatio: 1.7, densityRatio: 0.98 }), {
      viscosityRatio: 1 / 1.7,
      densityRatio: 1 / 0.98,
    });
    back.points.forEach((point, i) => {
      expect(point.force_N).toBeCloseTo(curve.points[i]!.force_N, 10);
    });
  });

  it('is no more certain after a temperature correction than that correction', () => {
    const warm = broughtTo(lawCurve(bothWays(30, 0), { temperature_degC: 32 }), 25);
    const { force_N, standardError_N } = forceOn(warm, 0.3)!;
    const correction = Math.log(1 / pdmsViscosityRatio(32));
    expect(force_N).toBeCloseTo(9 * Math.exp(correction), 10);
    expect(standardError_N / force_N).toBeCloseTo(0.15 * correction, 6);
  });
});

describe('the viscosity ratio of two curves', () => {
  it('is found exactly, whatever part is quadratic', () => {
    for (const quadratic of [0, 20, 90]) {
      const have = lawCurve(bothWays(30, quadratic));
      const { ratio, misfit } = found(have, lawCurve(bothWays(30 * 1.35, quadratic)));
      expect(ratio.value).toBeCloseTo(1.35, 6);
      expect(misfit).toBeLessThan(1e-6);
    }
  });

  it('is brought to 25 °C: the same oil measured warm and cold has ratio 1', () => {
    const cold = lawCurve(bothWays(30, 40), { temperature_degC: 21 });
    const warm = broughtTo(cold, 33);
    expect(found(cold, warm).ratio.value).toBeCloseTo(1, 6);
    expect(found(cold, warm).ratio.standardError).toBeGreaterThan(0.03);
  });

  it('says where a temperature had to be assumed and where speeds run out', () => {
    const unknown = lawCurve(bothWays(30, 40), { temperature_degC: null });
    expect(found(unknown, lawCurve(bothWays(40, 40))).temperatureAssumed).toBe(true);
    expect(found(lawCurve(bothWays(40, 40)), lawCurve(bothWays(20, 40))).extrapolated).toBe(true);
    expect(found(lawCurve(bothWays(20, 40)), lawCurve(bothWays(40, 40))).extrapolated).toBe(false);
  });

  it('tells what no oil can change', () => {
    const { misfit } = found(lawCurve(bothWays(30, 60)), lawCurve(bothWays(40, 5)));
    expect(misfit).toBeGreaterThan(0.05);
  });

  it('is refused where no oil comes near, and where directions differ', () => {
    const none = viscosityRatio(lawCurve(bothWays(1, 90)), lawCurve(bothWays(0.01, 1)));
    expect(none.ok ? 'found' : none.refusal.code).toBe('no-ratio');
    const only = lawCurve(bothWays(30, 40));
    const rebound = { ...only, points: only.points.filter(({ velocity_m_per_s: v }) => v < 0) };
    const compression = { ...only, points: only.points.filter(({ velocity_m_per_s: v }) => v > 0) };
    const apart = viscosityRatio(rebound, compression);
    expect(apart.ok ? 'found' : apart.refusal.code).toBe('no-common-speeds');
  });

  it('has an interval that holds the truth 19 times in 20', () => {
    const random = randomFrom(41);
    const error = { linear: 0.4, quadratic: 1.5 };
    const noisy = (linear: number, quadratic: number) => {
      const law = () => ({
        linear: linear + error.linear * random.normal(),
        quadratic: quadratic + error.quadratic * random.normal(),
      });
      return lawCurve({ compression: law(), rebound: law() }, { error });
    };
    let covered = 0;
    const runs = 300;
    for (let i = 0; i < runs; i++) {
      const { ratio } = found(noisy(30, 40), noisy(30 * 1.25, 40));
      if (ratio.low95 < 1.25 && ratio.high95 > 1.25) covered++;
    }
    expect(covered / runs).toBeGreaterThan(0.92);
    expect(covered / runs).toBeLessThan(0.975);
  });
});

describe('a curve that meets the compression ceiling', () => {
  const law = lawCurve(bothWays(30, 40));
  const ceiling_N = 9;
  const cut = (curve: typeof law) => ({
    ...curve,
    points: curve.points.map((point) => ({ ...point, force_N: Math.min(point.force_N, ceiling_N) })),
    ceiling_N,
  });
  const change = { viscosityRatio: 1.25, densityRatio: 1 };

  it('stays cut at it in another oil, at the speeds that were measured too', () => {
    const moved = inOtherOil(cut(law), change);
    for (const speed of [0.05, 0.2, 0.35, 0.45])
      expect(forceOn(moved, speed)!.force_N).toBeCloseTo(
        Math.min(ceiling_N, forceOn(inOtherOil(law, change), speed)!.force_N),
        6,
      );
    expect(fastestOf(moved, 'compression')).toBeCloseTo(0.5, 12);
  });

  it('comes down from it in thin oil as its two terms foretell', () => {
    const thin = { viscosityRatio: 0.5, densityRatio: 1 };
    expect(forceOn(inOtherOil(cut(law), thin), 0.19)!.force_N).toBeCloseTo(
      forceOn(inOtherOil(law, thin), 0.19)!.force_N,
      6,
    );
  });

  it('gives the same ratio as without, whichever of the two meets it', () => {
    const other = inOtherOil(law, change);
    for (const [have, want] of [
      [cut(law), other],
      [law, cut(other)],
      [cut(law), cut(other)],
    ] as const) {
      const outcome = viscosityRatio(have, want);
      if (!outcome.ok) throw new Error(outcome.refusal.found);
      expect(outcome.found.ratio.value).toBeCloseTo(1.25, 4);
    }
  });
});
