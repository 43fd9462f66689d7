import { describe, expect, it } from 'vitest';
import { lagOneAutocorrelation, mean, standardDeviation } from '../../analysis/numerics/summary.js';
import { univariateSets } from './nist-univariate.js';
import { relativeError } from './relative-error.js';

describe('summary statistics on the NIST univariate reference sets', () => {
  // 10000000.1 and .3 are themselves rounded by up to 9e-10 to be held in float64, so 0.1 cannot come back closer.
  it.each(univariateSets)('agree with the certified values of $name', (set) => {
    const values = Float64Array.from(set.values);
    const spread = set.name === 'NumAcc4' ? 1e-8 : set.name === 'NumAcc3' ? 1e-9 : 1e-13;
    expect(relativeError(mean(values), set.mean)).toBeLessThan(1e-15);
    expect(relativeError(standardDeviation(values), set.standardDeviation)).toBeLessThan(spread);
    expect(relativeError(lagOneAutocorrelation(values), set.lagOneAutocorrelation)).toBeLessThan(
      Math.max(spread, 1e-12),
    );
  });

  it('are ones that the one-pass sum of squares gets wrong on NumAcc4', () => {
    const { values } = univariateSets.find((set) => set.name === 'NumAcc4')!;
    const sum = values.reduce((a, b) => a + b, 0);
    const squares = values.reduce((a, b) => a + b * b, 0);
    const variance = (squares - (sum * sum) / values.length) / (values.length - 1);
    expect(relativeError(variance, 0.01)).toBeGreaterThan(0.5);
  });
});
