import { describe, expect, it } from 'vitest';
import { fSurvival } from '../../analysis/numerics/distributions.js';
import { leastSquares } from '../../analysis/numerics/linear.js';
import { loadCell } from './load-cell.js';
import { type LinearSet, linearSets } from './nist-linear.js';
import { relativeError, worstRelativeError } from './relative-error.js';

function powers(x: readonly number[], degree: number): Float64Array[] {
  return Array.from({ length: degree + 1 }, (_, k) => Float64Array.from(x, (value) => value ** k));
}

function design({ model, x, y }: LinearSet): Float64Array[] {
  if (model.kind === 'polynomial') return powers(x[0], model.degree);
  const predictors = x.map((column) => Float64Array.from(column));
  return model.kind === 'predictors' ? [new Float64Array(y.length).fill(1), ...predictors] : predictors;
}

function standardErrors(covariance: Float64Array, p: number): number[] {
  return Array.from({ length: p }, (_, j) => Math.sqrt(covariance[j * p + j]));
}

describe('least squares on the NIST linear reference sets', () => {
  it.each(linearSets)('agrees with the certified values of $name to 13 digits when refined', (set) => {
    const { certified, model } = set;
    const fit = leastSquares(design(set), Float64Array.from(set.y), undefined, { refine: true });
    const p = certified.coefficients.length;
    expect(fit.rank).toBe(p);
    // Certified values carry 15 digits; Wampler2's decimal coefficients leave a residual of one rounding unit.
    expect(worstRelativeError(fit.coefficients, certified.coefficients)).toBeLessThan(1e-12);
    expect(worstRelativeError(standardErrors(fit.covariance, p), certified.standardErrors)).toBeLessThan(
      1e-12,
    );
    expect(relativeError(fit.residualSd, certified.residualSd)).toBeLessThan(1e-13);
    const rSquared = model.kind === 'through-zero' ? fit.rSquaredUncentred : fit.rSquared;
    expect(relativeError(rSquared, certified.rSquared)).toBeLessThan(1e-12);
  });

  it.each(linearSets)('keeps $name to 6 digits or better without refinement', (set) => {
    const fit = leastSquares(design(set), Float64Array.from(set.y));
    const limit = { Wampler5: 1e-5, Wampler4: 1e-7 }[set.name] ?? 1e-9;
    expect(worstRelativeError(fit.coefficients, set.certified.coefficients)).toBeLessThan(limit);
  });

  it('would fail Longley from the normal equations in the raw columns, which is why it uses QR', () => {
    const longley = linearSets.find((set) => set.name === 'Longley')!;
    const columns = design(longley);
    const gram = columns.map((a) => columns.map((b) => a.reduce((sum, value, i) => sum + value * b[i], 0)));
    const right = columns.map((a) => a.reduce((sum, value, i) => sum + value * longley.y[i], 0));
    const solution = gaussElimination(gram, right);
    expect(worstRelativeError(solution, longley.certified.coefficients)).toBeGreaterThan(1e-9);
  });
});

describe('the NIST load cell calibration (LOADCELL.DAT)', () => {
  const y = Float64Array.from(loadCell.reading);
  const line = leastSquares(powers(loadCell.load, 1), y);
  const parabola = leastSquares(powers(loadCell.load, 2), y);

  // The handbook prints -0.183980e-04, 0.100102, 0.703186e-05 and s = 0.37640e-04 (from memory); the digits below
  // were recomputed from its data.
  it('has the quadratic fit that the handbook gives', () => {
    expect(
      worstRelativeError(parabola.coefficients, [-1.839804673e-5, 0.1001024854, 7.031865115e-6]),
    ).toBeLessThan(1e-8);
    expect(relativeError(parabola.residualSd, 3.764029e-5)).toBeLessThan(1e-6);
    expect(parabola.degreesOfFreedom).toBe(30);
    expect(
      worstRelativeError(standardErrors(parabola.covariance, 3), [2.451e-5, 4.839e-6, 2.014e-7]),
    ).toBeLessThan(3e-4);
    expect(relativeError(line.residualSd, 2.3897e-4)).toBeLessThan(1e-4);
  });

  it('rejects a straight line for lack of fit against the repeated readings, and not the parabola', () => {
    const pure = pureErrorSquares();
    const lackOfFit = (rss: number, terms: number): number =>
      fSurvival((rss - pure) / (11 - terms) / (pure / 22), 11 - terms, 22);
    expect(lackOfFit(line.rss, 2)).toBeLessThan(1e-15);
    expect(lackOfFit(parabola.rss, 3)).toBeGreaterThan(0.05);
  });

  function pureErrorSquares(): number {
    let sum = 0;
    for (const load of new Set(loadCell.load)) {
      const repeats = loadCell.reading.filter((_, i) => loadCell.load[i] === load);
      const mean = repeats.reduce((a, b) => a + b) / repeats.length;
      for (const reading of repeats) sum += (reading - mean) ** 2;
    }
    return sum;
  }
});

describe('the thermometer calibration of the GUM, JCGM 100:2008, H.3', () => {
  const t_degC = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b_degC = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
  const fit = leastSquares(
    [new Float64Array(11).fill(1), Float64Array.from(t_degC, (t) => t - 20)],
    Float64Array.from(b_degC),
  );
  const [u1, u2] = standardErrors(fit.covariance, 2);

  // Printed: -0.1712(29), 0.00218(67), r = -0.930, s = 0.0035; further digits recomputed from its table.
  it('gives intercept, slope, their uncertainties and correlation', () => {
    expect(worstRelativeError(fit.coefficients, [-0.17120379013135, 0.00218269773989])).toBeLessThan(1e-11);
    expect(worstRelativeError([u1, u2], [0.00287759783516, 0.00066793877323])).toBeLessThan(1e-10);
    expect(relativeError(fit.covariance[1] / (u1 * u2), -0.93042960309)).toBeLessThan(1e-10);
    expect(relativeError(fit.residualSd, 0.00349756396351)).toBeLessThan(1e-11);
    expect(fit.degreesOfFreedom).toBe(9);
  });

  it('predicts the correction at 30 °C with its uncertainty', () => {
    const u30 = Math.sqrt(fit.covariance[0] + 20 * fit.covariance[1] + 100 * fit.covariance[3]);
    expect(relativeError(fit.coefficients[0] + 10 * fit.coefficients[1], -0.14937681273)).toBeLessThan(1e-10);
    expect(relativeError(u30, 0.00413859575)).toBeLessThan(1e-8);
  });
});

function gaussElimination(matrix: number[][], right: number[]): number[] {
  const n = right.length;
  const a = matrix.map((row, i) => [...row, right[i]]);
  for (let k = 0; k < n; k++) {
    const best = a.slice(k).reduce((at, row, i) => (Math.abs(row[k]) > Math.abs(a[at][k]) ? k + i : at), k);
    [a[k], a[best]] = [a[best], a[k]];
    for (let i = k + 1; i < n; i++) {
      const factor = a[i][k] / a[k][k];
      for (let j = k; j <= n; j++) a[i][j] -= factor * a[k][j];
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = k + 1; j < n; j++) a[k][n] -= a[k][j] * a[j][n];
    a[k][n] /= a[k][k];
  }
  return a.map((row) => row[n]);
}
