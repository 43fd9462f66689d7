import { describe, expect, it } from 'vitest';
import { levenbergMarquardt, type NonlinearFit } from '../../analysis/numerics/levenberg-marquardt.js';
import { type NonlinearSet, nonlinearSets } from './nist-nonlinear.js';
import { relativeError, worstRelativeError } from './relative-error.js';

function fitFrom(set: NonlinearSet, start: readonly number[], maxIterations = 1000): NonlinearFit {
  return levenbergMarquardt({
    start,
    residualCount: set.y.length,
    residualsInto: (out, b) => {
      for (let i = 0; i < out.length; i++) out[i] = set.model(set.x[i], b) - set.y[i];
    },
    maxIterations,
  });
}

function expectCertified(set: NonlinearSet, fit: NonlinearFit): void {
  expect(fit.converged).toBe(true);
  expect(worstRelativeError(fit.parameters, set.parameters)).toBeLessThan(1e-6);
  expect(worstRelativeError(fit.standardErrors, set.standardErrors)).toBeLessThan(1e-4);
  expect(relativeError(fit.rss, set.rss)).toBeLessThan(1e-9);
  expect(relativeError(fit.residualSd, set.residualSd)).toBeLessThan(1e-9);
}

describe('Levenberg-Marquardt on the NIST nonlinear reference sets, with differences for derivatives', () => {
  const patient = ['MGH10'];
  it.each(nonlinearSets)('reaches the certified values of $name from both starts', (set) => {
    for (const start of set.starts) {
      const fit = fitFrom(set, start, patient.includes(set.name) ? 20_000 : 1000);
      expectCertified(set, fit);
    }
  });

  it('reaches DanWood, the power law, with an analytic Jacobian as well', () => {
    const set = nonlinearSets.find(({ name }) => name === 'DanWood')!;
    for (const start of set.starts) {
      const fit = levenbergMarquardt({
        start,
        residualCount: set.y.length,
        residualsInto: (out, b) => {
          for (let i = 0; i < out.length; i++) out[i] = set.model(set.x[i], b) - set.y[i];
        },
        jacobianInto: ([db0, db1], b) => {
          for (let i = 0; i < set.x.length; i++) {
            db0[i] = set.x[i] ** b[1];
            db1[i] = b[0] * Math.log(set.x[i]) * set.x[i] ** b[1];
          }
        },
      });
      expectCertified(set, fit);
    }
  });

  it('says so when it is stopped before it has converged', () => {
    const set = nonlinearSets.find(({ name }) => name === 'MGH17')!;
    const fit = fitFrom(set, set.starts[0], 20);
    expect(fit.converged).toBe(false);
    expect(fit.reason).toBe('iteration-limit');
  });
});
