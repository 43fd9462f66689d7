import { expect, it } from 'vitest';
import { coverage95, freedomOfCoverage } from '../../analysis/estimate.js';

it('the degrees of freedom behind an interval are those that it was made with', () => {
  for (const freedom of [0.6, 1, 2, 2.37, 5, 11.9, 40, 400, 9000])
    expect(freedomOfCoverage(coverage95(freedom)) / freedom).toBeCloseTo(1, 9);
});

it('and without end for the interval of a normal distribution, half of one for the widest', () => {
  for (const reach of [0, 1, 1.9599, coverage95()]) expect(freedomOfCoverage(reach)).toBe(Infinity);
  expect(freedomOfCoverage(1e9)).toBeCloseTo(0.5, 6);
});
