/** Cube root of the rounding unit: the relative step where central differences lose least. */
const relativeStep = Math.cbrt(Number.EPSILON);

/**
 * Derivatives of n functions by differences that stay inside bounds: central, or one-sided of the second order
 * where a bound is nearer than the step.
 * @param columns p arrays of n values; receives d f / d parameter
 * @param evaluateInto writes n function values at p parameters
 * @param x the point, p values inside the bounds
 * @param atX the n function values there
 * @param lower lowest and `upper` highest value of each parameter, -Infinity / Infinity where free
 * @param typicalSize change that matters for each parameter; sets the step where x is smaller
 */
export function differenceJacobianInto(
  columns: readonly Float64Array[],
  evaluateInto: (out: Float64Array, parameters: Float64Array) => void,
  x: Float64Array,
  atX: Float64Array,
  lower: Float64Array,
  upper: Float64Array,
  typicalSize: Float64Array,
): void {
  const n = atX.length;
  const near = new Float64Array(n);
  const far = new Float64Array(n);
  const trial = x.slice();
  const evaluate = (out: Float64Array, j: number, value: number): void => {
    trial[j] = value;
    evaluateInto(out, trial);
    trial[j] = x[j];
  };
  for (let j = 0; j < x.length; j++) {
    const column = columns[j];
    let h = relativeStep * Math.max(Math.abs(x[j]), typicalSize[j]);
    const roomAbove = upper[j] - x[j];
    const roomBelow = x[j] - lower[j];
    if (roomAbove >= h && roomBelow >= h) {
      evaluate(near, j, x[j] + h);
      evaluate(far, j, x[j] - h);
      const width = x[j] + h - (x[j] - h);
      for (let i = 0; i < n; i++) column[i] = (near[i] - far[i]) / width;
      continue;
    }
    if (roomBelow > roomAbove) h = -h;
    evaluate(near, j, x[j] + h);
    evaluate(far, j, x[j] + 2 * h);
    for (let i = 0; i < n; i++) column[i] = (4 * near[i] - far[i] - 3 * atX[i]) / (2 * h);
  }
}
