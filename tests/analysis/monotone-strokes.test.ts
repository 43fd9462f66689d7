import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reversals, straightenStrokes } from '../../analysis/identification/monotone-strokes.js';
import { randomFrom } from './played/random.js';

describe('strokes made monotone', () => {
  it('leaves a clean stroke exactly as it is', () => {
    const x = Float64Array.from({ length: 500 }, (_, k) => Math.sin(k / 40));
    const v = Float64Array.from({ length: 500 }, (_, k) => Math.cos(k / 40) / 40);
    const before = x.slice();
    straightenStrokes(x, v, 0.01);
    expect(x).toEqual(before);
  });

  it('takes the noise of a standstill out of the travel', () => {
    const random = randomFrom(4);
    const clean = Float64Array.from({ length: 900 }, (_, k) => 1e-5 * Math.min(300, Math.max(0, k - 300)));
    const noisy = clean.map((value) => value + 1e-6 * random.normal());
    const travel = (x: Float64Array) =>
      x.reduce((sum, value, k) => (k > 0 ? sum + Math.abs(value - x[k - 1]) : 0), 0);
    const v = new Float64Array(900).fill(1);
    const before = travel(noisy);
    straightenStrokes(noisy, v, 12e-6);
    expect(before).toBeGreaterThan(3.5e-3);
    expect(travel(noisy)).toBeLessThan(3.02e-3);
    expect(v[100]).toBe(0);
    expect(v[450]).toBe(1);
  });

  it('never turns back within a stroke and keeps the mean, whatever it is given', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 2, maxLength: 80 }),
        (list) => {
          const x = Float64Array.from(list);
          const v = new Float64Array(x.length);
          const turns = reversals(x, 0.3);
          straightenStrokes(x, v, 0.3);
          let from = 0;
          for (const { at, direction } of turns) {
            // The turning point itself belongs to both strokes; the second may pool it.
            for (let k = from + 2; k < at; k++)
              expect(direction * (x[k] - x[k - 1])).toBeGreaterThanOrEqual(-1e-12);
            from = at;
          }
        },
      ),
      { seed: 7, numRuns: 300 },
    );
  });
});
