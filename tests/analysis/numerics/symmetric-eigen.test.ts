import { describe, expect, it } from 'vitest';
import { symmetricEigen } from '../../../analysis/numerics/symmetric-eigen.js';
import { randomFrom } from '../played/random.js';

/** Largest error of A·v = λ·v and of the vectors' inner products. */
function worstError(matrix: Float64Array, n: number): number {
  const { values, vectors } = symmetricEigen(matrix, n);
  let worst = 0;
  for (let j = 0; j < n; j++)
    for (let i = 0; i < n; i++) {
      let image = 0;
      let product = 0;
      for (let k = 0; k < n; k++) {
        image += matrix[i * n + k] * vectors[j * n + k];
        product += vectors[i * n + k] * vectors[j * n + k];
      }
      worst = Math.max(
        worst,
        Math.abs(image - values[j] * vectors[j * n + i]),
        Math.abs(product - (i === j ? 1 : 0)),
      );
    }
  return worst;
}

describe('eigenvalues of a symmetric matrix', () => {
  it('are 2 − 2·cos(kπ/(n+1)) for second differences', () => {
    const n = 21;
    const matrix = Float64Array.from({ length: n * n }, (_, at) => {
      const apart = Math.abs(Math.floor(at / n) - (at % n));
      return apart === 0 ? 2 : apart === 1 ? -1 : 0;
    });
    const found = symmetricEigen(matrix, n).values.sort();
    found.forEach((value, k) => {
      expect(value).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (n + 1)), 13);
    });
  });

  it('come with orthonormal vectors, for full matrices, low ranks and all but equal values', () => {
    const random = randomFrom(1);
    for (const n of [1, 2, 3, 8, 23])
      for (const rank of [n, Math.ceil(n / 3), 0]) {
        const half = Float64Array.from({ length: n * n }, () => random.uniform(-1, 1));
        const matrix = new Float64Array(n * n);
        for (let i = 0; i < n; i++)
          for (let j = 0; j < n; j++) {
            matrix[i * n + j] = i === j ? 1e-9 * i : 0;
            for (let k = 0; k < rank; k++) matrix[i * n + j] += half[i * n + k] * half[j * n + k];
          }
        expect(worstError(matrix, n), `${n} of rank ${rank}`).toBeLessThan(1e-14 * (n + 1));
      }
  });
});
