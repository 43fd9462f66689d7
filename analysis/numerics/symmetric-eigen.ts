/**
 * Eigenvalues and eigenvectors of a small symmetric matrix by cyclic Jacobi rotations.
 * @param matrix n × n, row major, symmetric; left alone
 * @returns values (unordered) and orthonormal vectors, vector j in column j of an n × n row-major array
 * Numerical notes: accurate to a few units in the last place of the largest eigenvalue; cost grows with n³.
 * Source: Golub & Van Loan, *Matrix Computations*, 4th ed. (2013), §8.5.
 */
export function symmetricEigen(
  matrix: Float64Array,
  n: number,
): { readonly values: Float64Array; readonly vectors: Float64Array } {
  const a = matrix.slice();
  const vectors = new Float64Array(n * n);
  for (let i = 0; i < n; i++) vectors[i * n + i] = 1;
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let diagonal = 0;
    for (let i = 0; i < n; i++)
      for (let j = 0; j <= i; j++) {
        const square = a[i * n + j] ** 2;
        if (i === j) diagonal += square;
        else off += 2 * square;
      }
    if (off <= 1e-24 * diagonal) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(a, vectors, n, p, q);
  }
  return { values: Float64Array.from({ length: n }, (_, i) => a[i * n + i]), vectors };
}

function rotate(a: Float64Array, vectors: Float64Array, n: number, p: number, q: number): void {
  const apq = a[p * n + q];
  if (apq === 0) return;
  const theta = (a[q * n + q] - a[p * n + p]) / (2 * apq);
  const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const akp = a[k * n + p];
    const akq = a[k * n + q];
    a[k * n + p] = c * akp - s * akq;
    a[k * n + q] = s * akp + c * akq;
  }
  for (let k = 0; k < n; k++) {
    const apk = a[p * n + k];
    const aqk = a[q * n + k];
    a[p * n + k] = c * apk - s * aqk;
    a[q * n + k] = s * apk + c * aqk;
  }
  for (let k = 0; k < n; k++) {
    const vkp = vectors[k * n + p];
    const vkq = vectors[k * n + q];
    vectors[k * n + p] = c * vkp - s * vkq;
    vectors[k * n + q] = s * vkp + c * vkq;
  }
}
