import type { KernelName } from '../result.js';

/** Running means, each one conversion long, that make up a converter's averaging. */
export const averagingsOf: Readonly<Record<KernelName, number>> = {
  none: 0,
  'one-conversion': 1,
  sinc3: 3,
  sinc4: 4,
};

export const mostAveragings = Math.max(...Object.values(averagingsOf));

/**
 * Weights with which a converter averages the past, on a uniform grid: running means one after the other.
 * Every regressor goes through these instead of the force being deconvolved: the fit then compares like with
 * like, and the rounded friction step of a slow converter costs nothing in accuracy.
 * @param width grid steps in one conversion, ≥ 1
 * @param averagings number of running means, 0 to 4
 * @returns averagings·(width − 1) + 1 weights, the latest grid point's first, of sum 1
 * @see Hogenauer, IEEE Trans. Acoust. Speech Signal Process. 29(2), 155–162, 1981, for cascaded running means (from memory)
 */
export function converterWeights(width: number, averagings: number): Float64Array {
  const weights = new Float64Array(averagings * (width - 1) + 1);
  weights[0] = 1;
  for (let pass = 0, length = 1; pass < averagings; pass++, length += width - 1)
    for (let k = length + width - 2; k >= 0; k--) {
      let sum = 0;
      for (let j = Math.max(0, k - width + 1); j <= Math.min(k, length - 1); j++) sum += weights[j];
      weights[k] = sum / width;
    }
  return weights;
}

/** Delay of the averaging on the grid, in grid steps. */
export const kernelDelay_steps = (width: number, averagings: number): number =>
  (averagings * (width - 1)) / 2;
