import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  lagOneAutocorrelation,
  madToSd,
  mean,
  median,
  medianAbsoluteDeviation,
  quantile,
  slopeOf,
  standardDeviation,
} from '../../../analysis/numerics/summary.js';
import { randomFrom } from '../played/random.js';

const numbers = fc
  .array(fc.oneof(fc.integer({ min: -5, max: 5 }), fc.double({ min: -1e6, max: 1e6, noNaN: true })), {
    minLength: 1,
    maxLength: 60,
  })
  .map((values) => Float64Array.from(values));

describe('summaries', () => {
  it('take quantiles as a full sort would, ties included, and leave the data alone', () => {
    fc.assert(
      fc.property(numbers, fc.double({ min: 0, max: 1, noNaN: true }), (values, p) => {
        const before = values.slice();
        const sorted = values.slice().sort();
        const at = (values.length - 1) * p;
        const k = Math.floor(at);
        const wanted = at === k ? sorted[k] : sorted[k] + (at - k) * (sorted[k + 1] - sorted[k]);
        expect(quantile(values, p)).toBe(wanted);
        expect(values).toEqual(before);
      }),
      { seed: 8, numRuns: 500 },
    );
  });

  it('take the mean of the middle two for an even count', () => {
    expect(median(Float64Array.of(9, 1, 4, 2))).toBe(3);
    expect(medianAbsoluteDeviation(Float64Array.of(9, 1, 4, 2))).toBe(1.5);
  });

  it('turn the median deviation of normal noise into its standard deviation', () => {
    const { normal } = randomFrom(21);
    const values = Float64Array.from({ length: 40_000 }, () => 3 + 0.2 * normal());
    // Its own standard error is 1.17/√(2n) of itself, 0.41 %.
    expect(Math.abs((madToSd * medianAbsoluteDeviation(values)) / 0.2 - 1)).toBeLessThan(0.0125);
    expect(Math.abs(standardDeviation(values) / 0.2 - 1)).toBeLessThan(0.011);
    expect(Math.abs(lagOneAutocorrelation(values))).toBeLessThan(0.015);
  });

  it('say so when there are too few values', () => {
    expect(mean(new Float64Array(0))).toBeNaN();
    expect(median(new Float64Array(0))).toBeNaN();
    expect(standardDeviation(Float64Array.of(4))).toBeNaN();
  });
});

describe('the slope of a straight line', () => {
  it('is the least-squares one, and not a number where nothing varies', () => {
    // Σ(x − 2)(y − ȳ) / Σ(x − 2)² = (−2·1 − 1·3 + 1·4 + 2·7) / 10.
    expect(slopeOf(Float64Array.of(0, 1, 2, 3, 4), Float64Array.of(1, 3, 2, 4, 7))).toBeCloseTo(1.3, 12);
    expect(slopeOf(Float64Array.of(5, 5), Float64Array.of(1, 2))).toBeNaN();
  });
});
