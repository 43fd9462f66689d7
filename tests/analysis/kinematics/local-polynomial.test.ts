import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { motionAt } from '../../../analysis/kinematics/local-polynomial.js';
import { standardDeviation } from '../../../analysis/numerics/summary.js';
import { randomFrom } from '../played/random.js';

/** Times about a millisecond apart, each moved by up to a fifth of that. */
function jittered(count: number, seed: number, origin_s = 0): Float64Array {
  const { uniform } = randomFrom(seed);
  return Float64Array.from({ length: count }, (_, i) => origin_s + 1e-3 * (i + uniform(-0.2, 0.2)));
}

describe('local polynomials on jittered times', () => {
  it.each([1, 2, 3, 4] as const)('are exact for polynomials of degree %d, edges included', (degree) => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
          minLength: degree + 1,
          maxLength: degree + 1,
        }),
        fc.integer({ min: 0, max: 1000 }),
        fc.integer({ min: 4, max: 30 }),
        (coefficients, seed, half) => {
          const time_s = jittered(80, seed, 1000);
          const derivative = (order: number, t: number): number =>
            coefficients.reduce((sum, c, k) => {
              let factor = c;
              for (let j = 0; j < order; j++) factor *= k - j;
              return factor === 0 ? sum : sum + factor * (20 * (t - 1000.04)) ** (k - order) * 20 ** order;
            }, 0);
          const motion = motionAt(
            time_s,
            time_s.map((t) => derivative(0, t)),
            { degree, halfWindow_s: half * 1e-3 },
            time_s,
          );
          // Times near 1000 s carry 1e-13 s of rounding, which a slope of 20 to 80 per second turns into 1e-11.
          const window = 20 * half * 1e-3;
          for (let i = 0; i < time_s.length; i++) {
            expect(Math.abs(motion.position_m[i] - derivative(0, time_s[i]))).toBeLessThan(3e-11);
            const scale = 3e-10 / (window / 20);
            expect(Math.abs(motion.velocity_m_per_s[i] - derivative(1, time_s[i]))).toBeLessThan(scale);
            expect(Math.abs(motion.acceleration_m_per_s2[i] - derivative(2, time_s[i]))).toBeLessThan(
              30 * (scale / (window / 20)),
            );
          }
        },
      ),
      { seed: 5, numRuns: 25 },
    );
  });

  it('follow a sine where a filter of constant spacing cannot', () => {
    const time_s = jittered(3000, 2);
    const omega = 2 * Math.PI * 3;
    const position_m = time_s.map((t) => 0.015 * Math.sin(omega * t));
    const error = (times: Float64Array): number => {
      const { velocity_m_per_s } = motionAt(times, position_m, { degree: 3, halfWindow_s: 0.01 }, times);
      return standardDeviation(
        velocity_m_per_s.map((v, i) => v - 0.015 * omega * Math.cos(omega * time_s[i])),
      );
    };
    expect(error(time_s)).toBeLessThan(5e-6);
    expect(error(Float64Array.from({ length: 3000 }, (_, i) => 1e-3 * i))).toBeGreaterThan(1e-3);
  });

  it('agree with a slow fit of every window by least squares of the powers', () => {
    const time_s = jittered(60, 12);
    const { normal } = randomFrom(13);
    const position_m = time_s.map(() => normal());
    const motion = motionAt(time_s, position_m, { degree: 2, halfWindow_s: 0.0052 }, time_s);
    for (const i of [0, 3, 20, 31, 58, 59]) {
      const low = time_s[i] + 0.0052 > time_s[59] ? time_s[59] - 0.0104 : time_s[i] - 0.0052;
      const high = time_s[i] - 0.0052 < time_s[0] ? time_s[0] + 0.0104 : time_s[i] + 0.0052;
      const within = Array.from(time_s.keys()).filter((j) => time_s[j] >= low && time_s[j] <= high);
      const [value, slope] = quadraticThrough(
        within.map((j) => time_s[j] - time_s[i]),
        within.map((j) => position_m[j]),
      );
      expect(motion.position_m[i]).toBeCloseTo(value, 9);
      expect(motion.velocity_m_per_s[i] / slope).toBeCloseTo(1, 7);
    }
  });

  it('state how noisy their velocity is', () => {
    const time_s = jittered(20_000, 31);
    const { normal } = randomFrom(32);
    const noise_m = 4e-5;
    const position_m = time_s.map((t) => 0.002 * t + noise_m * normal());
    const motion = motionAt(time_s, position_m, { degree: 3, halfWindow_s: 0.012 }, time_s);
    const normalised = motion.velocity_m_per_s.map(
      (v, i) => (v - 0.002) / (noise_m * Math.sqrt(motion.velocityGain_per_s2[i])),
    );
    // About 20000/12 independent windows: the sd of a sd is 1.7 %.
    expect(Math.abs(standardDeviation(normalised) - 1)).toBeLessThan(0.06);
  });
});

describe('windows', () => {
  const time_s = Float64Array.from({ length: 101 }, (_, i) => i / 100);
  const square = time_s.map((t) => t * t);

  it('may differ from instant to instant', () => {
    const { normal } = randomFrom(51);
    const noisy = square.map((x) => x + normal());
    const narrow = motionAt(time_s, noisy, { degree: 2, halfWindow_s: 0.05 }, time_s);
    const wide = motionAt(time_s, noisy, { degree: 2, halfWindow_s: 0.2 }, time_s);
    const both = motionAt(
      time_s,
      noisy,
      { degree: 2, halfWindow_s: time_s.map((t) => (t < 0.5 ? 0.05 : 0.2)) },
      time_s,
    );
    time_s.forEach((t, i) => {
      expect(both.velocity_m_per_s[i]).toBe((t < 0.5 ? narrow : wide).velocity_m_per_s[i]);
    });
  });

  it('answer at any instant, in any order, and extrapolate at a stated price', () => {
    const at_s = Float64Array.of(0.333, 1.05, -0.05, 0.777, 0.001);
    const motion = motionAt(time_s, square, { degree: 2, halfWindow_s: 0.1 }, at_s);
    at_s.forEach((t, i) => {
      expect(motion.position_m[i]).toBeCloseTo(t * t, 12);
      expect(motion.velocity_m_per_s[i]).toBeCloseTo(2 * t, 10);
      expect(motion.acceleration_m_per_s2[i]).toBeCloseTo(2, 7);
    });
    expect(motion.velocityGain_per_s2[1]).toBeGreaterThan(10 * motion.velocityGain_per_s2[0]);
  });

  it('reach across a gap for as many samples as the polynomial needs', () => {
    const gappy = time_s.filter((t) => t < 0.3 || t > 0.7);
    const { position_m, velocityGain_per_s2 } = motionAt(
      gappy,
      gappy.map((t) => t * t),
      { degree: 2, halfWindow_s: 0.05 },
      Float64Array.of(0.5, 0.9),
    );
    expect(position_m[0]).toBeCloseTo(0.25, 10);
    expect(Number.isFinite(velocityGain_per_s2[0])).toBe(true);
  });

  it('give NaN for too few samples, and refuse unequal lengths', () => {
    const few = motionAt(
      Float64Array.of(0, 1, 2),
      Float64Array.of(1, 2, 3),
      { degree: 3, halfWindow_s: 1 },
      Float64Array.of(1),
    );
    expect(few.velocity_m_per_s[0]).toBeNaN();
    expect(() => motionAt(time_s, square.slice(1), { degree: 2, halfWindow_s: 1 }, time_s)).toThrow(
      RangeError,
    );
    expect(() => motionAt(time_s, square, { degree: 2, halfWindow_s: Float64Array.of(1) }, time_s)).toThrow(
      RangeError,
    );
  });
});

/** Value and slope at zero of the least-squares quadratic, by Cramer's rule. */
function quadraticThrough(u: number[], y: number[]): [number, number] {
  const s = (power: number): number => u.reduce((sum, v) => sum + v ** power, 0);
  const b = (power: number): number => u.reduce((sum, v, i) => sum + v ** power * y[i], 0);
  const determinant = (m: number[][]): number =>
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
    m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
    m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
  const matrix = [0, 1, 2].map((i) => [0, 1, 2].map((j) => s(i + j)));
  const replaced = (column: number): number[][] =>
    matrix.map((row, i) => row.map((value, j) => (j === column ? b(i) : value)));
  return [determinant(replaced(0)) / determinant(matrix), determinant(replaced(1)) / determinant(matrix)];
}
