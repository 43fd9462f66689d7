import { describe, expect, it } from 'vitest';
import { cycleWork, loopArea } from '../../../analysis/kinematics/cycle-work.js';

describe('work by integration', () => {
  it('is exact for a parabola of power over uneven steps, with an even or an odd number of them', () => {
    for (const time_s of [
      Float64Array.of(0, 0.1, 0.25, 0.3, 0.7),
      Float64Array.of(0, 0.1, 0.25, 0.3, 0.7, 0.95),
    ]) {
      const force_N = time_s.map((t) => 3 - 2 * t);
      const velocity = time_s.map((t) => 1 + 5 * t);
      const T = time_s[time_s.length - 1];
      const wanted = 3 * T + (13 / 2) * T ** 2 - (10 / 3) * T ** 3;
      expect(cycleWork(time_s, force_N, velocity)).toBeCloseTo(wanted, 13);
    }
  });

  it('is a trapezoid for two samples and nothing for fewer', () => {
    expect(cycleWork(Float64Array.of(0, 2), Float64Array.of(1, 3), Float64Array.of(1, 1))).toBe(4);
    expect(cycleWork(Float64Array.of(0), Float64Array.of(1), Float64Array.of(1))).toBe(0);
  });

  it('of a closed loop is the area of its polygon, signed by its sense', () => {
    const position_m = Float64Array.of(0, 1, 1, 0);
    expect(loopArea(position_m, Float64Array.of(2, 2, 0, 0))).toBe(2);
    expect(loopArea(position_m.slice().reverse(), Float64Array.of(0, 0, 2, 2))).toBe(-2);
  });

  it('refuses unequal lengths', () => {
    const two = Float64Array.of(0, 1);
    expect(() => cycleWork(two, two, Float64Array.of(1))).toThrow(RangeError);
    expect(() => loopArea(two, Float64Array.of(1))).toThrow(RangeError);
  });
});
