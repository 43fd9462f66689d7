import { describe, expect, it } from 'vitest';
import {
  averageInto,
  averagingsOf,
  kernelDelay_steps,
} from '../../analysis/identification/converter-kernel.js';

const averaged = (values: Float64Array, width: number, averagings: number) => {
  const out = values.slice();
  averageInto(out, values.length, width, averagings, new Float64Array(values.length));
  return out;
};

describe("the converter's averaging", () => {
  it('leaves a constant alone and delays a ramp by the delay it states', () => {
    const ramp = Float64Array.from({ length: 400 }, (_, k) => 3 + 0.5 * k);
    for (const [name, averagings] of Object.entries(averagingsOf)) {
      const out = averaged(ramp, 16, averagings);
      const delay = kernelDelay_steps(16, averagings);
      expect(out[300], name).toBeCloseTo(3 + 0.5 * (300 - delay), 9);
      expect(averaged(new Float64Array(400).fill(2), 16, averagings)[399], name).toBeCloseTo(2, 12);
    }
  });

  it('equals a direct convolution with the boxes it is made of', () => {
    const wave = Float64Array.from({ length: 200 }, (_, k) => Math.sin(k * k * 0.01));
    let direct = Array.from(wave);
    for (let pass = 0; pass < 3; pass++)
      direct = direct.map((_, k) => {
        let sum = 0;
        for (let j = 0; j < 8; j++) sum += direct[Math.max(0, k - j)] / 8;
        return sum;
      });
    const out = averaged(wave, 8, 3);
    for (let k = 40; k < 200; k++) expect(out[k]).toBeCloseTo(direct[k], 12);
  });

  it('settles a step in exactly as many conversions as it has averagings', () => {
    const step = Float64Array.from({ length: 200 }, (_, k) => (k >= 100 ? 1 : 0));
    const out = averaged(step, 10, 4);
    expect(out[99]).toBe(0);
    expect(out[100 + 4 * 9 - 1]).toBeLessThan(1);
    expect(out[100 + 4 * 9]).toBeCloseTo(1, 12);
  });
});
