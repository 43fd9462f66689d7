import { describe, expect, it } from 'vitest';
import { normalSurvival, tQuantile, tSurvival } from '../../analysis/numerics/distributions.js';

/** NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2: upper critical values of Student's t. */
const columns = [0.9, 0.95, 0.975, 0.99, 0.995];
const table: readonly (readonly [number, readonly number[]])[] = [
  [1, [3.0777, 6.3138, 12.7062, 31.8205, 63.6567]],
  [2, [1.8856, 2.92, 4.3027, 6.9646, 9.9248]],
  [3, [1.6377, 2.3534, 3.1824, 4.5407, 5.8409]],
  [4, [1.5332, 2.1318, 2.7764, 3.7469, 4.6041]],
  [5, [1.4759, 2.015, 2.5706, 3.3649, 4.0321]],
  [9, [1.383, 1.8331, 2.2622, 2.8214, 3.2498]],
  [10, [1.3722, 1.8125, 2.2281, 2.7638, 3.1693]],
  [20, [1.3253, 1.7247, 2.086, 2.528, 2.8453]],
  [30, [1.3104, 1.6973, 2.0423, 2.4573, 2.75]],
  [100, [1.2901, 1.6602, 1.984, 2.3642, 2.6259]],
  [Number.POSITIVE_INFINITY, [1.2816, 1.6449, 1.96, 2.3263, 2.5758]],
];

/** GUM (JCGM 100:2008) table G.2, coverage factors for 95.45 % (from memory; recomputed). */
const coverage: readonly (readonly [number, number])[] = [
  [1, 13.97],
  [2, 4.53],
  [3, 3.31],
  [4, 2.87],
  [5, 2.65],
  [8, 2.37],
  [10, 2.28],
  [20, 2.13],
  [50, 2.05],
];

describe("Student's t quantiles", () => {
  it.each(table)('round to the printed row for %d degrees of freedom', (df, row) => {
    columns.forEach((p, k) => {
      expect(Math.abs(tQuantile(p, df) - row[k])).toBeLessThan(0.5001e-4);
    });
  });

  it('round to the coverage factors for 95.45 %', () => {
    for (const [df, k] of coverage)
      expect(Math.abs(tQuantile(0.5 + 0.9545 / 2, df) - k)).toBeLessThan(0.5001e-2);
  });

  it('hold for fractional degrees of freedom', () => {
    // Worked example of a numerical library's manual: lower 0.01 point at 7.5 degrees of freedom.
    expect(tQuantile(0.01, 7.5)).toBeCloseTo(-2.9431, 4);
    // GUM H.1, end gauge: ν_eff = 16, 99 %, k = 2.92 and U = 93 nm for u_c = 32 nm.
    expect(tQuantile(0.995, 16)).toBeCloseTo(2.92078, 5);
    expect(Math.round(tQuantile(0.995, 16) * 32)).toBe(93);
    // GUM G.4.1 (inputs from memory): ν_eff = 18.9987, t95 = 2.09.
    expect(tQuantile(0.975, 18.9987)).toBeCloseTo(2.093, 4);
  });
});

describe('one-sided probabilities', () => {
  it('give the false-accept risk of the usual guard bands', () => {
    // Φ(-1.66), Φ(-2), Φ(-3): guard bands of 0.83 U, U and 1.5 U at k = 2; recomputed values.
    expect(normalSurvival(1.66)).toBeCloseTo(0.0485, 4);
    expect(normalSurvival(2)).toBeCloseTo(0.0228, 4);
    expect(normalSurvival(3)).toBeCloseTo(0.00135, 5);
    // JCGM 106:2012, one-sided example: conformance probability Φ(1.40) = 0.92.
    expect(1 - normalSurvival(1.4)).toBeCloseTo(0.919243, 6);
  });

  it('agree with the closed forms of one and two degrees of freedom', () => {
    for (const t of [0.01, 0.3, 1, 2.5, 40, 3000]) {
      expect(Math.abs(tSurvival(t, 1) / (Math.atan2(1, t) / Math.PI) - 1)).toBeLessThan(1e-13);
      const r = Math.sqrt(2 + t * t);
      expect(Math.abs(tSurvival(t, 2) / (1 / (r * (r + t))) - 1)).toBeLessThan(1e-13);
    }
  });
});
