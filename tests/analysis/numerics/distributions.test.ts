import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareSurvival,
  chiSquareUpperQuantile,
  fCdf,
  fQuantile,
  fSurvival,
  fUpperQuantile,
  normalCdf,
  normalQuantile,
  normalSurvival,
  tCdf,
  tQuantile,
  tSurvival,
} from '../../../analysis/numerics/distributions.js';
import { logGamma, regularizedBeta } from '../../../analysis/numerics/special-functions.js';

const degrees = fc.double({ min: 1, max: 1e6, noNaN: true });
/** Tail probabilities over a hundred orders of magnitude. */
const tail = fc.double({ min: -100, max: Math.log10(0.5), noNaN: true }).map((power) => 10 ** power);

describe('quantiles undo probabilities', () => {
  it('of Student, down to tails of 1e-100', () => {
    fc.assert(
      fc.property(tail, degrees, (q, df) => {
        expect(Math.abs(tSurvival(-tQuantile(q, df), df) / q - 1)).toBeLessThan(2e-12);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('of the normal distribution', () => {
    fc.assert(
      fc.property(tail, (q) => {
        expect(Math.abs(normalCdf(normalQuantile(q)) / q - 1)).toBeLessThan(1e-12);
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  it('of chi-square and F, at both ends', () => {
    fc.assert(
      fc.property(tail, degrees, degrees, (q, d1, d2) => {
        expect(Math.abs(chiSquareCdf(chiSquareQuantile(q, d1), d1) / q - 1)).toBeLessThan(2e-11);
        expect(Math.abs(chiSquareSurvival(chiSquareUpperQuantile(q, d1), d1) / q - 1)).toBeLessThan(2e-11);
        expect(Math.abs(fCdf(fQuantile(q, d1, d2), d1, d2) / q - 1)).toBeLessThan(2e-11);
        expect(Math.abs(fSurvival(fUpperQuantile(q, d1, d2), d1, d2) / q - 1)).toBeLessThan(2e-11);
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

describe('identities between distributions', () => {
  it('t squared is F with one degree in the numerator', () => {
    for (const df of [1, 2.3, 9, 57.5])
      for (const t of [0.02, 0.8, 2, 9, 300])
        expect(2 * tSurvival(t, df)).toBeCloseTo(fSurvival(t * t, 1, df), 14);
  });

  it('t with boundless degrees of freedom is normal', () => {
    expect(tSurvival(1.3, Number.POSITIVE_INFINITY)).toBe(normalSurvival(1.3));
    expect(tQuantile(0.2, Number.POSITIVE_INFINITY)).toBe(normalQuantile(0.2));
    expect(Math.abs(tSurvival(2, 1e9) / normalSurvival(2) - 1)).toBeLessThan(1e-8);
  });

  it('both tails add up to one', () => {
    for (const z of [-3, -0.2, 0, 0.7, 2.2]) {
      expect(normalCdf(z) + normalSurvival(z)).toBeCloseTo(1, 15);
      expect(tCdf(z, 3.3) + tSurvival(z, 3.3)).toBeCloseTo(1, 15);
    }
  });

  it('chi-square with two degrees of freedom is exponential', () => {
    for (const x of [1e-8, 0.4, 2, 30, 900])
      expect(Math.abs(chiSquareSurvival(x, 2) / Math.exp(-x / 2) - 1)).toBeLessThan(1e-13);
  });

  it('Γ(n + 1) is the factorial', () => {
    let factorial = 1;
    for (let n = 2; n < 30; n++) {
      factorial *= n;
      expect(Math.abs(logGamma(n + 1) - Math.log(factorial))).toBeLessThan(1e-13 * Math.log(factorial));
    }
  });

  it('I_x(a, b) keeps its small end near x = 1, where only 1 - x is known finely', () => {
    // I_x(1, b) = 1 - (1 - x)^b
    expect(Math.abs(regularizedBeta(1 - 1e-20, 1e-20, 1, 3).upper / 1e-60 - 1)).toBeLessThan(1e-12);
  });
});

describe('the ends and misuse', () => {
  it('give infinite quantiles for certain and impossible events', () => {
    expect(tQuantile(0, 5)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(chiSquareQuantile(0, 3)).toBe(0);
    expect(fUpperQuantile(0, 3, 4)).toBe(Number.POSITIVE_INFINITY);
    expect(tQuantile(0.5, 4.4)).toBe(0);
  });

  it('refuse what is no probability and no degree of freedom', () => {
    expect(() => tQuantile(1.2, 5)).toThrow(RangeError);
    expect(() => tQuantile(Number.NaN, 5)).toThrow(RangeError);
    expect(() => tQuantile(0.9, 0)).toThrow(RangeError);
    expect(() => fSurvival(1, -2, 3)).toThrow(RangeError);
  });
});
