import { describe, expect, it } from 'vitest';
import { believeBends, bends } from '../../analysis/identification/bends.js';
import type { FitCovariance } from '../../analysis/identification/covariance.js';
import type { FitProblem } from '../../analysis/identification/problem.js';
import { expectDragAsPlayed } from './expect-drag.js';
import { playLadder } from './played/recording.js';

/** Drag and two bends whose errors go along with it. */
const problem = { terms: ['dragCompression', ...bends] } as unknown as FitProblem;
const matrix = Float64Array.from([4, 1.2, -0.6, 1.2, 1, 0.2, -0.6, 0.2, 1]);
const covariance: FitCovariance = {
  size: 3,
  matrix,
  clusters: 30,
  degreesOfFreedom: (contrast) => contrast[1]!,
};

describe('bends of damping', () => {
  it('within their errors are left out, and drag moves along as its covariance with them has it', () => {
    const { parameters } = believeBends(problem, Float64Array.from([10, 0.7, -0.5]), covariance);
    expect(parameters[1]).toBeCloseTo(0, 12);
    expect(parameters[2]).toBeCloseTo(0, 12);
    // Drag less its regression on the bends: [1.2, −0.6]·[[1, 0.2], [0.2, 1]]⁻¹·[0.7, −0.5].
    expect(parameters[0]).toBeCloseTo(10 - (1.375 * 0.7 - 0.875 * -0.5), 12);
  });

  it('that do not show leave three tenths of what they could do in the interval of drag', () => {
    const { covariance: left } = believeBends(problem, Float64Array.from([10, 0.7, -0.5]), covariance);
    const explained = 1.375 * 1.2 - 0.875 * -0.6;
    expect(left.matrix[0]).toBeCloseTo(4 - 0.7 * explained, 12);
    expect(left.degreesOfFreedom(Float64Array.from([1, 0, 0]))).toBeCloseTo(-1.375, 12);
  });

  it('of many errors stay as they were found', () => {
    const found = Float64Array.from([10, 40, -30]);
    const believed = believeBends(problem, found, covariance);
    for (const [a, value] of believed.parameters.entries())
      expect(Math.abs(value - found[a]!)).toBeLessThan(0.06);
    for (const [a, value] of believed.covariance.matrix.entries())
      expect(Math.abs(value - matrix[a]!)).toBeLessThan(0.002);
  });

  it('are nothing to a fit without them', () => {
    const plain = { terms: ['dragCompression', 'offset', 'gas1'] } as unknown as FitProblem;
    const parameters = Float64Array.from([10, 0.7, -0.5]);
    expect(believeBends(plain, parameters, covariance)).toEqual({ parameters, covariance });
  });

  it('leave drag of turbulence below the square law inside its interval, and within half a percent', () => {
    for (const [seed, turbulentPower] of [
      [61, 1.82],
      [62, 1.9],
      [63, 1.86],
      [64, 1.95],
    ] as const) {
      const played = playLadder(seed, { rate_Hz: 320, change: (drawn) => ({ ...drawn, turbulentPower }) });
      const { damping } = expectDragAsPlayed(played);
      const { linear, quadratic } = played.shock.compression;
      const fastest = damping.curve.at(-1)!;
      const v = fastest.velocity_m_per_s;
      expect(Math.abs(fastest.force_N / (linear * v + quadratic * v ** turbulentPower) - 1)).toBeLessThan(
        0.003,
      );
    }
  });
});
