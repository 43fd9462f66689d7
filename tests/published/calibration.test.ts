import { describe, expect, it } from 'vitest';
import {
  calibrateForce,
  compareCurves,
  countsOf,
  normalGravity_m_per_s2,
  quantityOf,
} from '../../analysis/calibration/index.js';
import { fUpperQuantile } from '../../analysis/numerics/index.js';
import { loadCell } from './load-cell.js';
import { linearSets } from './nist-linear.js';
import { relativeError } from './relative-error.js';

const pontius = linearSets.find(({ name }) => name === 'Pontius')!;

describe('the choice of a calibration curve on the load cell of the NIST StRD (Pontius)', () => {
  const choice = compareCurves(Float64Array.from(pontius.x[0]!), Float64Array.from(pontius.y));

  it('gives the certified quadratic', () => {
    const { coefficients, standardErrors, residualSd } = choice.quadratic!;
    pontius.certified.coefficients.forEach((value, k) => {
      expect(relativeError(coefficients[k]!, value)).toBeLessThan(1e-11);
      expect(relativeError(standardErrors[k]!, pontius.certified.standardErrors[k]!)).toBeLessThan(1e-11);
    });
    expect(relativeError(residualSd, pontius.certified.residualSd)).toBeLessThan(1e-12);
  });

  // NIST/SEMATECH e-Handbook of Statistical Methods, 4.6.1.5 (pmd615): straight line 0.614969E-02 (0.7132E-03),
  // 0.722103E-06 (0.3969E-09), residual sd 0.0021712694 with 38 df, lack-of-fit F 214.7464, F(0.05; 18, 20) = 2.15.
  it('rejects the straight line with the lack of fit that the handbook prints', () => {
    const { coefficients, standardErrors, residualSd, degreesOfFreedom, lackOfFit } = choice.straight;
    // The handbook's program works in single precision: its last digits differ.
    expect(coefficients[0]).toBeCloseTo(0.614969e-2, 7);
    expect(coefficients[1]! * 1e6).toBeCloseTo(0.722103, 6);
    expect(standardErrors[0]).toBeCloseTo(0.7132e-3, 7);
    expect(standardErrors[1]! * 1e9).toBeCloseTo(0.3969, 4);
    expect(residualSd).toBeCloseTo(0.0021712694, 8);
    expect(degreesOfFreedom).toBe(38);
    expect(lackOfFit!.statistic).toBeCloseTo(214.7464, 2);
    expect(lackOfFit!.degreesOfFreedom).toEqual([18, 20]);
    expect(fUpperQuantile(0.05, 18, 20)).toBeCloseTo(2.15, 2);
    expect(choice.chosen).toBe('quadratic');
  });

  // 4.6.1.8 of the same case study prints 0.8107 against F(0.05; 17, 20) = 2.17: from memory.
  it('lets the quadratic stand', () => {
    expect(choice.quadratic!.lackOfFit!.statistic).toBeCloseTo(0.8107, 4);
    expect(choice.quadratic!.lackOfFit!.probability).toBeGreaterThan(0.5);
  });
});

describe('a force calibration on the e-Handbook load cell set (LOADCELL.DAT, page mpc365)', () => {
  const readings = [1, 2, 3].flatMap((series) => [
    { series, value: 0, direction: 'up' as const, reading_counts: 0 },
    ...loadCell.load.flatMap((value, i) =>
      i % 3 === series - 1
        ? [{ series, value, direction: 'up' as const, reading_counts: loadCell.reading[i]! }]
        : [],
    ),
  ]);
  const outcome = calibrateForce(readings, 0);
  if (!outcome.ok) throw new Error(outcome.refusal.found);
  const { scale, choice, standardUncertainty, errors } = outcome.calibration;

  // The handbook prints a = -0.183980e-04, b = 0.100102, c = 0.703186e-05, s = 0.37640e-04 (from memory).
  it('finds the bend that the handbook fits', () => {
    expect(choice.chosen).toBe('quadratic');
    expect(1 / scale.perCount).toBeCloseTo(0.100102, 6);
    expect(scale.bend / scale.perCount).toBeCloseTo(0.703186e-5, 10);
    expect(scale.zero_counts).toBeCloseTo(-0.18398e-4, 9);
    expect(standardUncertainty / Math.abs(scale.perCount)).toBeCloseTo(0.3764e-4, 8);
  });

  it('turns the readings back into their loads within the scatter', () => {
    loadCell.load.forEach((load, i) => {
      expect(Math.abs(quantityOf(loadCell.reading[i]!, scale) - load)).toBeLessThan(4 * standardUncertainty);
      expect(quantityOf(countsOf(load, scale), scale)).toBeCloseTo(load, 11);
    });
  });

  it('shows the largest spread of the three runs at the smallest load', () => {
    expect(errors.repeatability_percent).toBeCloseTo(
      (100 * 0.00008) / ((0.20024 + 0.20016 + 0.20024) / 3),
      6,
    );
    expect(errors.reversibility_percent).toBeNull();
  });
});

describe('normal gravity', () => {
  // Equator and pole of WGS 84 as public reprints of NIMA TR8350.2 give them; 45° on GRS 80 is 9.806 199 203 (Moritz,
  // Geodetic Reference System 1980, from memory), from which WGS 84 differs by less than 2e-6 m/s².
  it.each([
    [0, 9.7803253359],
    [90, 9.8321849378],
  ])('at %s° is the published value', (latitude, published) => {
    expect(normalGravity_m_per_s2(latitude)).toBeCloseTo(published, 9);
  });

  it('is even in latitude and falls with height by 0.3086 mGal a metre', () => {
    expect(Math.abs(normalGravity_m_per_s2(45) - 9.806199203)).toBeLessThan(2e-6);
    expect(normalGravity_m_per_s2(-52)).toBe(normalGravity_m_per_s2(52));
    expect(normalGravity_m_per_s2(52, 0) - normalGravity_m_per_s2(52, 1000)).toBeCloseTo(3.086e-3, 9);
  });
});
