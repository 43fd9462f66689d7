import { describe, expect, it } from 'vitest';
import { differenceJacobianInto } from '../../../analysis/numerics/jacobian.js';
import { levenbergMarquardt, type NonlinearProblem } from '../../../analysis/numerics/levenberg-marquardt.js';
import { leastSquares } from '../../../analysis/numerics/linear.js';
import { randomFrom } from '../played/random.js';

const time = Float64Array.from({ length: 50 }, (_, i) => i / 10);
const { normal } = randomFrom(3);
const decay = time.map((t) => 2 * Math.exp(-0.7 * t) + 0.5 + 0.01 * normal());

/** Amplitude, rate and offset of a decay. */
const decayProblem: NonlinearProblem = {
  start: [1, 0.1, 0],
  residualCount: time.length,
  residualsInto: (out, b) => {
    for (let i = 0; i < out.length; i++) out[i] = b[0] * Math.exp(-b[1] * time[i]) + b[2] - decay[i];
  },
};

describe('Levenberg-Marquardt', () => {
  it('is linear least squares where the model is linear, in one step', () => {
    const ones = new Float64Array(time.length).fill(1);
    const linear = leastSquares([ones, time], decay);
    const fit = levenbergMarquardt({
      start: [100, -40],
      residualCount: time.length,
      residualsInto: (out, b) => {
        for (let i = 0; i < out.length; i++) out[i] = b[0] + b[1] * time[i] - decay[i];
      },
    });
    expect(fit.iterations).toBeLessThan(8);
    fit.parameters.forEach((value, j) => {
      expect(value).toBeCloseTo(linear.coefficients[j], 9);
    });
    fit.covariance.forEach((value, k) => {
      expect(value / linear.covariance[k]).toBeCloseTo(1, 7);
    });
    expect(fit.degreesOfFreedom).toBe(48);
  });

  it('gives the same answer with an analytic Jacobian as with differences', () => {
    const analytic = levenbergMarquardt({
      ...decayProblem,
      jacobianInto: (columns, b) => {
        for (let i = 0; i < time.length; i++) {
          columns[0][i] = Math.exp(-b[1] * time[i]);
          columns[1][i] = -time[i] * b[0] * columns[0][i];
          columns[2][i] = 1;
        }
      },
    });
    const numeric = levenbergMarquardt(decayProblem);
    numeric.parameters.forEach((value, j) => {
      expect(value / analytic.parameters[j]).toBeCloseTo(1, 8);
      expect(numeric.standardErrors[j] / analytic.standardErrors[j]).toBeCloseTo(1, 6);
    });
  });

  it('stops at a bound, keeps it out of the covariance and counts its degree of freedom back', () => {
    const fit = levenbergMarquardt({ ...decayProblem, upper: [10, 0.4, 10] });
    expect(fit.parameters[1]).toBe(0.4);
    expect(fit.onBound).toEqual([1]);
    expect(fit.standardErrors[1]).toBeNaN();
    expect(fit.degreesOfFreedom).toBe(48);
    const columns = [time.map((t) => Math.exp(-0.4 * t)), new Float64Array(time.length).fill(1)];
    const free = leastSquares(columns, decay);
    expect(fit.parameters[0]).toBeCloseTo(free.coefficients[0], 8);
    expect(fit.standardErrors[2] / Math.sqrt(free.covariance[3])).toBeCloseTo(1, 6);
  });

  it('leaves a bound it started on when the minimum lies inside', () => {
    const fit = levenbergMarquardt({
      ...decayProblem,
      start: [10, 0, 0],
      lower: [0, 0, 0],
      upper: [10, 5, 5],
    });
    const open = levenbergMarquardt(decayProblem);
    expect(fit.onBound).toEqual([]);
    expect(fit.parameters[1]).toBeCloseTo(open.parameters[1], 8);
  });

  it('never evaluates outside the bounds, derivatives included', () => {
    levenbergMarquardt({
      ...decayProblem,
      start: [-5, 9, 9],
      lower: [0, 0, 0],
      upper: [3, 1, 0.4],
      residualsInto: (out, b) => {
        expect(b[0] >= 0 && b[0] <= 3 && b[1] >= 0 && b[1] <= 1 && b[2] >= 0 && b[2] <= 0.4).toBe(true);
        decayProblem.residualsInto(out, b);
      },
    });
  });

  it('steps back from where the model cannot be computed', () => {
    const fit = levenbergMarquardt({
      start: [3],
      residualCount: 1,
      residualsInto: (out, b) => {
        out[0] = Math.log(b[0]) + 4;
      },
    });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(Math.exp(-4), 12);
  });

  it('reports a start that cannot be computed instead of an answer', () => {
    const fit = levenbergMarquardt({
      start: [-1],
      residualCount: 1,
      residualsInto: (out, b) => {
        out[0] = Math.log(b[0]);
      },
    });
    expect(fit.converged).toBe(false);
    expect(fit.reason).toBe('not-finite');
  });

  it('gives no standard error to a parameter without effect', () => {
    const fit = levenbergMarquardt({
      start: [1, 7],
      residualCount: time.length,
      residualsInto: (out, b) => {
        for (let i = 0; i < out.length; i++) out[i] = b[0] - decay[i];
      },
    });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[1]).toBe(7);
    expect(fit.standardErrors[1]).toBeNaN();
    expect(Number.isFinite(fit.standardErrors[0])).toBe(true);
  });

  it('ends at an exact fit', () => {
    const fit = levenbergMarquardt({
      start: [0, 0],
      residualCount: 2,
      residualsInto: (out, b) => {
        out[0] = 10 * (b[1] - b[0] ** 2);
        out[1] = 1 - b[0];
      },
    });
    expect(fit.converged).toBe(true);
    expect(fit.parameters[0]).toBeCloseTo(1, 10);
    expect(fit.parameters[1]).toBeCloseTo(1, 10);
  });

  it('covers the truth as often as its standard errors claim', () => {
    const draw = randomFrom(41).normal;
    let inside = 0;
    const runs = 600;
    for (let k = 0; k < runs; k++) {
      const y = time.map((t) => 2 * Math.exp(-0.7 * t) + 0.5 + 0.02 * draw());
      const fit = levenbergMarquardt({
        ...decayProblem,
        residualsInto: (out, b) => {
          for (let i = 0; i < out.length; i++) out[i] = b[0] * Math.exp(-b[1] * time[i]) + b[2] - y[i];
        },
      });
      // t(0.975, 47)
      if (Math.abs(fit.parameters[1] - 0.7) < 2.0117405 * fit.standardErrors[1]) inside++;
    }
    // Binomial sd of the share is 0.89 %; the bound is three of them.
    expect(Math.abs(inside / runs - 0.95)).toBeLessThan(0.027);
  });
});

describe('differences for derivatives', () => {
  it('stay second order beside a bound', () => {
    for (const [low, high] of [
      [-9, 9],
      [1.3, 9],
      [-9, 1.3],
    ]) {
      const column = new Float64Array(1);
      differenceJacobianInto(
        [column],
        (out, b) => {
          out[0] = Math.sin(b[0]);
        },
        Float64Array.of(1.3),
        Float64Array.of(Math.sin(1.3)),
        Float64Array.of(low),
        Float64Array.of(high),
        Float64Array.of(1),
      );
      expect(column[0]).toBeCloseTo(Math.cos(1.3), 9);
    }
  });
});
