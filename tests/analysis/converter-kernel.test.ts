import { describe, expect, it } from 'vitest';
import {
  averagingsOf,
  converterWeights,
  kernelDelay_steps,
} from '../../analysis/identification/converter-kernel.js';

describe("the converter's averaging", () => {
  it('leaves a constant alone and delays a ramp by the delay it states', () => {
    for (const [name, averagings] of Object.entries(averagingsOf)) {
      const weights = converterWeights(16, averagings);
      const sum = weights.reduce((a, b) => a + b, 0);
      const delay = weights.reduce((a, b, k) => a + k * b, 0);
      expect(sum, name).toBeCloseTo(1, 12);
      expect(delay, name).toBeCloseTo(kernelDelay_steps(16, averagings), 10);
    }
  });

  it('equals a direct convolution with the boxes it is made of', () => {
    let direct = [1];
    for (let pass = 0; pass < 3; pass++) {
      const longer = new Array<number>(direct.length + 7).fill(0);
      direct.forEach((value, k) => {
        for (let j = 0; j < 8; j++) longer[k + j] += value / 8;
      });
      direct = longer;
    }
    const weights = converterWeights(8, 3);
    expect(weights.length).toBe(direct.length);
    direct.forEach((value, k) => {
      expect(weights[k]).toBeCloseTo(value, 14);
    });
  });

  it('settles a step in exactly as many conversions as it has averagings', () => {
    const weights = converterWeights(10, 4);
    expect(weights.length).toBe(4 * 9 + 1);
    expect(weights.every((weight) => weight > 0)).toBe(true);
  });
});
