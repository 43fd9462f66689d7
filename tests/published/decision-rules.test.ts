import { describe, expect, it } from 'vitest';
import { conformanceProbability, falseAcceptAtLimit, simultaneousReach } from '../../analysis/index.js';

describe('decisions with uncertainty', () => {
  it('give the conformance probability of the JCGM 106:2012 one-sided example (figures from memory)', () => {
    // y = −5.47 V, u = 0.05 V, upper limit −5.40 V; printed 0.92.
    expect(conformanceProbability(-5.47, 0.05, Number.NEGATIVE_INFINITY, -5.4)).toBeCloseTo(0.919243, 6);
  });

  it('give the specific risk of a published worked test: N(10; 0.4) between 9 and 11 is outside at 1.242 %', () => {
    expect(1 - conformanceProbability(10, 0.4, 9, 11)).toBeCloseTo(0.01242, 5);
  });

  it('give the false acceptances at the limit of ISO 14253-1 guard bands (bands from memory)', () => {
    expect(falseAcceptAtLimit(0.83)).toBeCloseTo(0.0485, 4);
    expect(falseAcceptAtLimit(1)).toBeCloseTo(0.0228, 4);
    expect(falseAcceptAtLimit(1.5)).toBeCloseTo(0.00135, 5);
  });

  it('reach as far for one term as an ordinary interval, and as the F table says for two', () => {
    expect(simultaneousReach(1, 1, Number.POSITIVE_INFINITY)).toBeCloseTo(1.96, 3);
    expect(simultaneousReach(2, 1, Number.POSITIVE_INFINITY)).toBeCloseTo(Math.sqrt(5.991465), 6);
    // F(0.95; 2, 10) = 4.10 in any F table.
    expect(simultaneousReach(2, 1, 10)).toBeCloseTo(Math.sqrt(2 * 4.1028), 4);
  });
});
