import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { clusterCovariance } from '../../analysis/identification/covariance.js';
import * as distributions from '../../analysis/numerics/distributions.js';
import { levenbergMarquardt } from '../../analysis/numerics/levenberg-marquardt.js';
import { leastSquares } from '../../analysis/numerics/linear.js';
import { relativeError, worstRelativeError } from './relative-error.js';

interface NonlinearFixture {
  readonly velocity: number[];
  readonly force: number[];
  readonly sigma: number[];
  readonly start: number[];
  readonly lower: number[];
  readonly upper: number[];
  readonly parameters: number[];
  readonly standardErrors: (number | null)[];
  readonly rss: number;
}

interface Fixtures {
  readonly scipy: string;
  /** Rows of arguments followed by the values wanted. */
  readonly tSurvival: number[][];
  readonly tUpperQuantile: number[][];
  readonly normalSurvival: number[][];
  readonly normalUpperQuantile: number[][];
  readonly chiSquare: number[][];
  readonly chiSquareQuantile: number[][];
  readonly chiSquareUpperQuantile: number[][];
  readonly f: number[][];
  readonly fUpperQuantile: number[][];
  readonly boundedFit: NonlinearFixture;
  readonly fitOnBound: NonlinearFixture;
  readonly linearFit: {
    readonly columns: number[][];
    readonly y: number[];
    readonly weights: number[];
    readonly coefficients: number[];
    readonly covariance: number[];
    readonly rss: number;
  };
  readonly clusteredFit: {
    readonly columns: number[][];
    readonly y: number[];
    /** Samples in each cluster, one after the other. */
    readonly clusters: number[];
    readonly coefficients: number[];
    readonly covariance: number[];
    readonly contrasts: number[][];
    readonly degreesOfFreedom: number[];
  };
}

/** Made by scipy-fixtures.py beside it. */
const fixtures: Fixtures = JSON.parse(
  readFileSync(new URL('./scipy-fixtures.json', import.meta.url), 'utf8'),
);

function worst(rows: number[][], compute: (...args: number[]) => number, wantedAt = -1): number {
  return rows.reduce((largest, row) => {
    const wanted = row.at(wantedAt)!;
    const error = relativeError(compute(...row), wanted);
    return Math.max(error, largest); // NaN stays NaN and fails
  }, 0);
}

describe(`distributions against SciPy ${fixtures.scipy}`, () => {
  const d = distributions;
  it('t survival and upper quantiles', () => {
    expect(worst(fixtures.tSurvival, (t, df) => d.tSurvival(t, df))).toBeLessThan(1e-12);
    expect(worst(fixtures.tUpperQuantile, (q, df) => -d.tQuantile(q, df))).toBeLessThan(1e-12);
  });

  it('normal survival and upper quantiles, out to 1e-300', () => {
    expect(worst(fixtures.normalSurvival, (z) => d.normalSurvival(z))).toBeLessThan(1e-12);
    expect(worst(fixtures.normalUpperQuantile, (q) => -d.normalQuantile(q))).toBeLessThan(1e-12);
  });

  it('chi-square, both tails and their quantiles', () => {
    expect(worst(fixtures.chiSquare, (x, df) => d.chiSquareCdf(x, df), -2)).toBeLessThan(1e-12);
    expect(worst(fixtures.chiSquare, (x, df) => d.chiSquareSurvival(x, df))).toBeLessThan(1e-12);
    expect(worst(fixtures.chiSquareQuantile, (p, df) => d.chiSquareQuantile(p, df))).toBeLessThan(1e-12);
    expect(worst(fixtures.chiSquareUpperQuantile, (q, df) => d.chiSquareUpperQuantile(q, df))).toBeLessThan(
      1e-12,
    );
  });

  it('F, both tails and upper quantiles', () => {
    expect(worst(fixtures.f, (x, a, b) => d.fCdf(x, a, b), -2)).toBeLessThan(1e-12);
    expect(worst(fixtures.f, (x, a, b) => d.fSurvival(x, a, b))).toBeLessThan(1e-12);
    expect(worst(fixtures.fUpperQuantile, (q, a, b) => d.fUpperQuantile(q, a, b))).toBeLessThan(1e-12);
  });
});

describe(`fits against SciPy ${fixtures.scipy}`, () => {
  it('a weighted linear fit with columns ten orders of magnitude apart', () => {
    const { columns, y, weights, coefficients, covariance, rss } = fixtures.linearFit;
    const fit = leastSquares(
      columns.map((column) => Float64Array.from(column)),
      Float64Array.from(y),
      Float64Array.from(weights),
    );
    expect(worstRelativeError(fit.coefficients, coefficients)).toBeLessThan(1e-10);
    expect(worstRelativeError(fit.covariance, covariance)).toBeLessThan(1e-10);
    expect(relativeError(fit.rss, rss)).toBeLessThan(1e-12);
  });

  it('a bounded, weighted fit of offset, tanh drag and damping each way', () => {
    expectSameFit(fixtures.boundedFit, []);
  });

  it('the same fit with the drag held by its upper bound, whose error is then not given', () => {
    expectSameFit(fixtures.fitOnBound, [1]);
  });

  it('a cluster-robust covariance, bias-reduced, with degrees of freedom, by its definition over single samples', () => {
    const { columns, y, clusters, coefficients, covariance, contrasts, degreesOfFreedom } =
      fixtures.clusteredFit;
    const rows = y.map((force, i) => [...columns.map((column) => column[i]), force]);
    const size = columns.length + 1;
    const productsOf = (some: readonly number[][]) =>
      Float64Array.from({ length: size * size }, (_, ab) =>
        some.reduce((sum, row) => sum + row[Math.floor(ab / size)] * row[ab % size], 0),
      );
    const ends = clusters.map((_, g) => clusters.slice(0, g + 1).reduce((a, b) => a + b, 0));
    const found = clusterCovariance(
      {
        size,
        products: productsOf(rows),
        used: rows.length,
        clusters: clusters.map((count, g) => productsOf(rows.slice(ends[g] - count, ends[g]))),
      },
      Float64Array.from(coefficients),
    )!;
    expect(found.clusters).toBe(clusters.length);
    expect(worstRelativeError(found.matrix, covariance)).toBeLessThan(1e-10);
    const freedoms = contrasts.map((contrast) => found.degreesOfFreedom(Float64Array.from(contrast)));
    expect(worstRelativeError(freedoms, degreesOfFreedom)).toBeLessThan(1e-10);
  });

  function expectSameFit(fixture: NonlinearFixture, onBound: number[]): void {
    const { velocity, force, sigma, start, lower, upper } = fixture;
    const fit = levenbergMarquardt({
      start,
      lower,
      upper,
      residualCount: force.length,
      residualsInto: (out, b) => {
        for (let i = 0; i < out.length; i++) {
          const v = velocity[i];
          const damping = (v > 0 ? b[3] : b[4]) * v + (v > 0 ? b[5] : b[6]) * v * Math.abs(v);
          out[i] = (b[0] + b[1] * Math.tanh(v / b[2]) + damping - force[i]) / sigma[i];
        }
      },
    });
    expect(fit.converged).toBe(true);
    expect(fit.onBound).toEqual(onBound);
    expect(worstRelativeError(fit.parameters, fixture.parameters)).toBeLessThan(1e-7);
    expect(relativeError(fit.rss, fixture.rss)).toBeLessThan(1e-11);
    fixture.standardErrors.forEach((wanted, j) => {
      if (wanted === null) expect(fit.standardErrors[j]).toBeNaN();
      else expect(relativeError(fit.standardErrors[j], wanted)).toBeLessThan(1e-6);
    });
  }
});
