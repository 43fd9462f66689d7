import { describe, expect, it } from 'vitest';
import { exactDot, exactSum } from '../../../analysis/numerics/exact-sums.js';
import {
  choleskyFactor,
  choleskyInverse,
  choleskySolve,
  leastSquares,
} from '../../../analysis/numerics/linear.js';
import { randomFrom } from '../played/random.js';

describe('Cholesky', () => {
  const n = 12;
  const draw = randomFrom(5).normal;
  const root = Float64Array.from({ length: n * n }, draw);
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < n; k++) matrix[i * n + j] += root[i * n + k] * root[j * n + k];
  const factor = choleskyFactor(matrix, n)!;

  it('solves, and inverts to the identity', () => {
    const x = Float64Array.from({ length: n }, draw);
    const b = new Float64Array(n);
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) b[i] += matrix[i * n + j] * x[j];
    choleskySolve(factor, n, b).forEach((value, i) => {
      expect(Math.abs(value - x[i])).toBeLessThan(1e-9);
    });
    const inverse = choleskyInverse(factor, n);
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += inverse[i * n + k] * matrix[k * n + j];
        expect(Math.abs(sum - (i === j ? 1 : 0))).toBeLessThan(1e-8);
        expect(inverse[i * n + j]).toBe(inverse[j * n + i]);
      }
  });

  it('answers null for a matrix that is not positive definite', () => {
    expect(choleskyFactor(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
    expect(choleskyFactor(Float64Array.of(Number.NaN), 1)).toBeNull();
  });
});

describe('least squares', () => {
  const n = 40;
  const u = Float64Array.from({ length: n }, (_, i) => i / n - 0.5);
  const ones = new Float64Array(n).fill(1);
  const cube = u.map((v) => v ** 3);

  it('recovers coefficients exactly where the data follow the model', () => {
    const fit = leastSquares(
      [ones, u, cube],
      u.map((v) => 3 - 2 * v + 7 * v ** 3),
    );
    [3, -2, 7].forEach((wanted, j) => {
      expect(fit.coefficients[j]).toBeCloseTo(wanted, 13);
    });
    expect(fit.rss).toBeLessThan(1e-28);
    expect(fit.rSquared).toBeCloseTo(1, 15);
    expect(fit.degreesOfFreedom).toBe(n - 3);
  });

  it('treats a weight of two as a row given twice, but not as a degree of freedom', () => {
    const draw = randomFrom(9).normal;
    const y = u.map((v) => 1 + v + 0.1 * draw());
    const weights = u.map((_, i) => (i % 3 === 0 ? 2 : 1));
    const twice = (column: Float64Array): Float64Array =>
      Float64Array.from([...column, ...column.filter((_, i) => i % 3 === 0)]);
    const weighted = leastSquares([ones, u], y, weights);
    const repeated = leastSquares([twice(ones), twice(u)], twice(y));
    expect(weighted.coefficients[1]).toBeCloseTo(repeated.coefficients[1], 13);
    expect(weighted.rss).toBeCloseTo(repeated.rss, 13);
    expect(weighted.inverseNormal[3]).toBeCloseTo(repeated.inverseNormal[3], 13);
    expect(weighted.rSquared).toBeCloseTo(repeated.rSquared, 13);
    expect(weighted.degreesOfFreedom).toBe(n - 2);
    weighted.residuals.forEach((r, i) => {
      expect(r).toBeCloseTo(y[i] - weighted.coefficients[0] - weighted.coefficients[1] * u[i], 13);
    });
  });

  it('leaves rows of weight zero out, and still tells their residuals', () => {
    const y = u.map((v, i) => (i === 7 ? 1e6 : 2 + v));
    const weights = u.map((_, i) => (i === 7 ? 0 : 1));
    const fit = leastSquares([ones, u], y, weights);
    expect(fit.coefficients[0]).toBeCloseTo(2, 12);
    expect(fit.degreesOfFreedom).toBe(n - 3);
    expect(fit.residuals[7]).toBeCloseTo(1e6 - 2 - u[7], 6);
  });

  it('finds a dependent column, names it and predicts as well without it', () => {
    const sum = u.map((v) => 5 * v - 2);
    const y = u.map((v) => 4 + 3 * v);
    const fit = leastSquares([ones, u, sum], y);
    expect(fit.rank).toBe(2);
    expect(fit.dependent).toHaveLength(1);
    const left = fit.dependent[0];
    expect(fit.coefficients[left]).toBe(0);
    expect(fit.covariance[left * 3 + left]).toBeNaN();
    expect(fit.rss).toBeLessThan(1e-26);
  });

  it('does not mistake columns of very different size for dependent ones', () => {
    const fit = leastSquares(
      [ones, u.map((v) => 1e12 * v), cube.map((v) => 1e-12 * v)],
      u.map((v) => 1 + v),
    );
    expect(fit.rank).toBe(3);
    expect(fit.coefficients[1]).toBeCloseTo(1e-12, 24);
  });

  it('states no variance where no degree of freedom is left', () => {
    const fit = leastSquares([Float64Array.of(1, 1), Float64Array.of(0, 1)], Float64Array.of(2, 5));
    expect(fit.coefficients[1]).toBeCloseTo(3, 14);
    expect(fit.degreesOfFreedom).toBe(0);
    expect(fit.residualSd).toBeNaN();
    expect(fit.covariance[0]).toBeNaN();
    expect(fit.inverseNormal[0]).toBeCloseTo(1, 14);
  });

  it('gives intervals that hold the truth as often as they claim', () => {
    const draw = randomFrom(77).normal;
    let inside = 0;
    const runs = 2000;
    for (let k = 0; k < runs; k++) {
      const fit = leastSquares(
        [ones, u],
        u.map((v) => 0.5 - 2 * v + 0.3 * draw()),
      );
      // t(0.975, 38)
      if (Math.abs(fit.coefficients[1] + 2) < 2.0243941639 * Math.sqrt(fit.covariance[3])) inside++;
    }
    // Binomial sd of the share is 0.49 %; the bound is three of them.
    expect(Math.abs(inside / runs - 0.95)).toBeLessThan(0.0147);
  });

  it('refuses columns of unequal length', () => {
    expect(() => leastSquares([ones, u.slice(1)], u)).toThrow(RangeError);
  });
});

describe('exact sums', () => {
  it('keep what plain addition drops', () => {
    expect(exactSum(Float64Array.of(1e16, 1, -1e16, 1))).toBe(2);
    expect(exactDot(Float64Array.of(1e8 + 1, 1e8), Float64Array.of(1e8 - 1, -1e8))).toBe(-1);
  });
});
