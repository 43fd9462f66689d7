import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  blendFor,
  blendOf,
  densityOf_kg_per_m3,
  estimateOf,
  makeOil,
  measuredOil,
  type OilDescription,
  thinning,
  viscosityOf_m2_per_s,
} from '../../../analysis/index.js';
import { oil } from './bottle.js';

const mineral = (label: string, at40: number, at100: number) =>
  oil(label, 0, {
    family: 'mineral',
    printed: [
      { viscosity_m2_per_s: at40 * 1e-6, temperature_degC: 40 },
      { viscosity_m2_per_s: at100 * 1e-6, temperature_degC: 100 },
    ],
  });

describe('an oil from its bottle', () => {
  it('is brought to 25 °C from the temperature it was printed for', () => {
    const printed = [{ viscosity_m2_per_s: 300e-6, temperature_degC: 38 }];
    const bottle = oil('b', 0, { printed });
    expect(viscosityOf_m2_per_s(bottle, 38)).toBeCloseTo(300e-6, 12);
    expect(bottle.viscosity25_m2_per_s * 1e6).toBeGreaterThan(370);
  });

  it('is exactly what the bottle says at 25 °C', () => {
    expect(viscosityOf_m2_per_s(oil('a', 350), 25)).toBe(350e-6);
  });

  it('thins faster as mineral than as silicone oil', () => {
    expect(thinning(mineral('m', 32, 5.4), 40)).toBeLessThan(thinning(oil('s', 60), 40) - 0.1);
  });

  it('weighs less when warm', () => {
    expect(densityOf_kg_per_m3(oil('a', 350), 45) / densityOf_kg_per_m3(oil('a', 350), 25)).toBeCloseTo(
      0.981,
      3,
    );
  });

  it.each([
    [{ printed: [] }, 'bad-viscosity'],
    [{ printed: [{ viscosity_m2_per_s: -1e-6, temperature_degC: 25 }] }, 'bad-viscosity'],
    [{ family: 'mineral' }, 'no-temperature-line'],
    [{ density25_kg_per_m3: 0.968 }, 'bad-density'],
    [{ uncertainty: -0.1 }, 'bad-uncertainty'],
  ] as [Partial<OilDescription>, string][])('is refused for %j: %s', (description, code) => {
    const printed = [{ viscosity_m2_per_s: 3e-4, temperature_degC: 25 }];
    const outcome = makeOil({ label: '30 wt', printed, ...description });
    expect(outcome.ok ? 'taken' : outcome.refusal.code).toBe(code);
  });

  it('keeps its measured ratio sharper than its viscosity', () => {
    const measured = measuredOil('b', oil('a', 350), estimateOf(1.5, 0.015));
    expect(measured.viscosity25_m2_per_s).toBeCloseTo(525e-6, 12);
    expect(measured.uncertainty).toBeCloseTo(Math.hypot(0.05, 0.01), 12);
    expect(measured.against).toEqual({ label: 'a', uncertainty: 0.01 });
  });
});

describe('a blend', () => {
  it('of silicone oils has the geometric mean at one to one', () => {
    const outcome = blendOf(oil('a', 100), oil('b', 900), 0.5);
    expect(outcome.ok && outcome.blend.oil.viscosity25_m2_per_s).toBeCloseTo(300e-6, 12);
  });

  it('of mineral oils averages the double logarithm', () => {
    const [thin, thick] = [mineral('a', 22, 4.3), mineral('b', 100, 11)];
    const outcome = blendOf(thin, thick, 0.5);
    if (!outcome.ok) throw new Error();
    const W = (ν: number) => Math.log10(Math.log10(ν * 1e6 + 0.7));
    expect(W(outcome.blend.oil.viscosity25_m2_per_s)).toBeCloseTo(
      (W(thin.viscosity25_m2_per_s) + W(thick.viscosity25_m2_per_s)) / 2,
      12,
    );
  });

  it('is less certain the farther apart its oils are, because mixing rules then disagree', () => {
    const uncertainty = (cSt: number) => {
      const outcome = blendOf(oil('a', 100, { uncertainty: 0 }), oil('b', cSt, { uncertainty: 0 }), 0.5);
      return outcome.ok ? outcome.blend.oil.uncertainty : Number.NaN;
    };
    expect(uncertainty(150)).toBeLessThan(0.01);
    expect(uncertainty(1000)).toBeGreaterThan(0.05);
  });

  it('for a viscosity has that viscosity', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 500, noNaN: true }),
        fc.double({ min: 1.01, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (cSt, span, share) => {
          const wanted = cSt * span ** share * 1e-6;
          const outcome = blendFor(oil('a', cSt), oil('b', cSt * span), wanted);
          if (!outcome.ok) return Math.min(share, 1 - share) < 1e-9;
          return Math.abs(outcome.blend.oil.viscosity25_m2_per_s / wanted - 1) < 1e-9;
        },
      ),
    );
  });

  it('is refused across families and outside the two oils', () => {
    const across = blendOf(oil('a', 100), mineral('m', 32, 5.4), 0.5);
    expect(across.ok ? 'mixed' : across.refusal.code).toBe('different-families');
    const outside = blendFor(oil('a', 100), oil('b', 200), 300e-6);
    expect(outside.ok ? 'mixed' : outside.refusal).toEqual({
      code: 'out-of-reach',
      found: '300 cSt',
      wanted: 'between 100 and 200 cSt',
    });
  });
});
