import { describe, expect, it } from 'vitest';
import {
  checkLimits,
  ewmaChart,
  individualsLimits,
  spreadLimit,
  steadyEwmaLimits,
} from '../../analysis/control/index.js';
import { fUpperQuantile } from '../../analysis/numerics/index.js';

// The examples of NIST/SEMATECH e-Handbook 6.3.2.2 and 6.3.2.4; their data and printed results are from memory, and
// agree with each other to every digit printed.
describe('the individuals chart of the e-Handbook (6.3.2.2)', () => {
  const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

  it('has the printed limits', () => {
    const { low, centre, high } = individualsLimits(flow);
    expect(centre).toBeCloseTo(50.81, 10);
    expect(high).toBeCloseTo(55.8041, 2);
    expect(low).toBeCloseTo(45.8159, 2);
  });
});

describe('the EWMA chart of the e-Handbook (6.3.2.4)', () => {
  const values = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
    52.4, 53.6, 52.1,
  ];
  const baseline = { mean: 50, standardDeviation: 2.0539, count: 1e6 };

  it('has the printed averages', () => {
    const printed = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
      49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    const { averages } = ewmaChart(values, baseline, 0.3);
    expect(averages.map((value) => Math.round(value * 100) / 100)).toEqual(printed);
  });

  it('has the printed limits, towards which its own widen', () => {
    const steady = steadyEwmaLimits(baseline, 0.3);
    expect(steady.high).toBeCloseTo(52.5884, 3);
    expect(steady.low).toBeCloseTo(47.4115, 3);
    const { limits } = ewmaChart(values, baseline, 0.3);
    expect(limits[0]!.high - 50).toBeCloseTo(3 * 0.3 * 2.0539, 3);
    expect(limits.at(-1)!.high).toBeCloseTo(steady.high, 3);
  });
});

describe('limits of a check standard', () => {
  it('come down to three standard deviations as the history grows', () => {
    const reach = (count: number) => checkLimits({ mean: 0, standardDeviation: 1, count }).high;
    expect(reach(1e7)).toBeCloseTo(3, 5);
    // t(0.99865; 4) = 6.620, times √1.2; the quantile is from memory (tables print 6.62 for 99.73 % two-sided).
    expect(reach(5)).toBeCloseTo(6.62 * Math.sqrt(1.2), 1);
  });

  // 2.2.3.1 (mpc231): UCL = s₁·√F(α; J − 1, K(J − 1)).
  it('hold a new spread against the pooled one by F', () => {
    expect(spreadLimit(2, 40, 5)).toBeCloseTo(2 * Math.sqrt(fUpperQuantile(0.05, 5, 40)), 12);
    // F(0.05; 5, 40) = 2.449, e-Handbook 1.3.6.7.3, from memory.
    expect((spreadLimit(1, 40, 5) ** 2).toFixed(3)).toBe('2.449');
  });
});
