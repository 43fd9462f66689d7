import { describe, expect, it } from 'vitest';
import type { TermName } from '../../analysis/identification/columns.js';
import type { Identification } from '../../analysis/identification/identify.js';
import type { ShapeName } from '../../analysis/identification/problem.js';
import { estimatesOf } from '../../analysis/identification/report.js';

const shape = { breakawayExcess: 0.5, stribeckSpeed_m_per_s: 4e-3, lag_s: 0 };

/** An identification of given parameters, of which one alone is uncertain, by a standard error of 1. */
function identified(
  terms: readonly TermName[],
  coefficients: readonly number[],
  shapes: readonly ShapeName[],
  uncertain: TermName | ShapeName,
): Identification {
  const size = terms.length + shapes.length;
  const at = [...terms, ...shapes].indexOf(uncertain);
  const matrix = new Float64Array(size * size);
  matrix[at * size + at] = 1;
  const span = { low_m: 0, high_m: 0.02 };
  return {
    problem: { terms, shapes, span, grid: { step_s: 1e-3 } },
    fit: { coefficients: Float64Array.from(coefficients), shape },
    covariance: { matrix, size, degreesOfFreedom: () => Number.POSITIVE_INFINITY },
    kernelLag_s: 0,
  } as unknown as Identification;
}

const asTheyAre = { meanDrag: 1, drag: 1, damping: 1, gas: 1, gasRate: 1, mass: 1, lag: 1 };

describe('what a fit left out', () => {
  it('is not reported as zero: no gas rate without a gas term', () => {
    const terms = ['dragCompression', 'dragRebound', 'offset'] as const;
    const { friction, gasOffset_N, gasRate_N_per_mm } = estimatesOf(
      identified(terms, [1, 1, 3], [], 'offset'),
      asTheyAre,
    );
    expect(friction.mean_N.value).toBe(1);
    expect(gasOffset_N).toMatchObject({ value: 3, standardError: 1 });
    expect(gasRate_N_per_mm).toBeNull();
  });
});

describe('the band of the total curve', () => {
  it('carries what is not known of the Stribeck speed, by the derivative of drag by its logarithm', () => {
    const total = (speed_m_per_s: number) => {
      const known = identified(
        ['dragCompression', 'dragRebound'],
        [2, 2],
        ['excess', 'stribeck'],
        'stribeck',
      );
      const fit = { ...known.fit, shape: { ...known.fit.shape, stribeckSpeed_m_per_s: speed_m_per_s } };
      return estimatesOf({ ...known, fit }, asTheyAre).curvePoint(5e-3, true);
    };
    const slightly = 1e-6;
    const { force_N, standardError_N } = total(4e-3);
    const change = (total(4e-3 * Math.exp(slightly)).force_N - force_N) / slightly;
    expect(standardError_N).toBeCloseTo(Math.abs(change), 5);
    expect(standardError_N).toBeGreaterThan(0.1);
  });
});
