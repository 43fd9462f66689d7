/**
 * One polynomial fitted to one window of samples, and its value, slope and curvature at one instant.
 *
 * Times are brought to -1..1 over the window, so that the normal equations of degree <= 4 keep about 13 digits
 * wherever in the window the instant lies. The answers are inner products with L⁻¹ of the Cholesky factor, which
 * gives the noise gains for nothing.
 */

export type LocalDegree = 1 | 2 | 3 | 4;

export interface LocalFit {
  value: number;
  slope: number;
  curvature: number;
  /** Sum of squared weights with which the samples enter the slope, in 1/s²: its variance per sample variance. */
  slopeGain: number;
}

/**
 * @param degree of the polynomial
 * @returns a function that fits samples `from` to `to` (exclusive, at least degree + 1 of them) at `time_s` and
 *   returns one object that it reuses from call to call
 */
export function makeLocalFit(
  time_s: Float64Array,
  values: Float64Array,
  degree: LocalDegree,
): (from: number, to: number, at_s: number) => Readonly<LocalFit> {
  const p = degree + 1;
  const moments = new Float64Array(9);
  const products = new Float64Array(5);
  const factor = new Float64Array(25);
  const valueRow = new Float64Array(5);
  const slopeRow = new Float64Array(5);
  const curvatureRow = new Float64Array(5);
  const fit: LocalFit = { value: 0, slope: 0, curvature: 0, slopeGain: 0 };

  const accumulate = (from: number, to: number, middle: number, perHalf: number): void => {
    const origin = values[from];
    let s1 = 0;
    let s2 = 0;
    let s3 = 0;
    let s4 = 0;
    let s5 = 0;
    let s6 = 0;
    let s7 = 0;
    let s8 = 0;
    let b0 = 0;
    let b1 = 0;
    let b2 = 0;
    let b3 = 0;
    let b4 = 0;
    for (let i = from; i < to; i++) {
      const u = (time_s[i] - middle) * perHalf;
      const y = values[i] - origin;
      const u2 = u * u;
      const u3 = u2 * u;
      const u4 = u3 * u;
      s1 += u;
      s2 += u2;
      s3 += u3;
      s4 += u4;
      b0 += y;
      b1 += u * y;
      b2 += u2 * y;
      if (degree > 2) {
        const u5 = u4 * u;
        s5 += u5;
        s6 += u5 * u;
        b3 += u3 * y;
        if (degree > 3) {
          const u7 = u5 * u2;
          s7 += u7;
          s8 += u7 * u;
          b4 += u4 * y;
        }
      }
    }
    moments[0] = to - from;
    moments[1] = s1;
    moments[2] = s2;
    moments[3] = s3;
    moments[4] = s4;
    moments[5] = s5;
    moments[6] = s6;
    moments[7] = s7;
    moments[8] = s8;
    products[0] = b0;
    products[1] = b1;
    products[2] = b2;
    products[3] = b3;
    products[4] = b4;
  };

  /** Cholesky factor of the moment matrix, and L⁻¹ applied to the right side and to the three functionals. */
  const solve = (): void => {
    for (let i = 0; i < p; i++) {
      let b = products[i];
      let v = valueRow[i];
      let s = slopeRow[i];
      let c = curvatureRow[i];
      for (let j = 0; j <= i; j++) {
        let sum = moments[i + j];
        for (let k = 0; k < j; k++) sum -= factor[i * 5 + k] * factor[j * 5 + k];
        if (j === i) {
          const perPivot = 1 / Math.sqrt(sum);
          factor[i * 5 + i] = perPivot;
          products[i] = b * perPivot;
          valueRow[i] = v * perPivot;
          slopeRow[i] = s * perPivot;
          curvatureRow[i] = c * perPivot;
        } else {
          const l = sum * factor[j * 5 + j];
          factor[i * 5 + j] = l;
          b -= l * products[j];
          v -= l * valueRow[j];
          s -= l * slopeRow[j];
          c -= l * curvatureRow[j];
        }
      }
    }
  };

  return (from, to, at_s) => {
    const middle = 0.5 * (time_s[from] + time_s[to - 1]);
    const perHalf = 2 / (time_s[to - 1] - time_s[from]);
    accumulate(from, to, middle, perHalf);
    const u = (at_s - middle) * perHalf;
    for (let k = 0, power = 1; k < p; k++, power *= u) valueRow[k] = power;
    for (let k = 0; k < p; k++) {
      slopeRow[k] = k > 0 ? k * valueRow[k - 1] : 0;
      curvatureRow[k] = k > 1 ? k * (k - 1) * valueRow[k - 2] : 0;
    }
    solve();
    let value = 0;
    let slope = 0;
    let curvature = 0;
    let slopeGain = 0;
    for (let k = 0; k < p; k++) {
      value += valueRow[k] * products[k];
      slope += slopeRow[k] * products[k];
      curvature += curvatureRow[k] * products[k];
      slopeGain += slopeRow[k] * slopeRow[k];
    }
    fit.value = values[from] + value;
    fit.slope = slope * perHalf;
    fit.curvature = curvature * perHalf * perHalf;
    fit.slopeGain = slopeGain * perHalf * perHalf;
    return fit;
  };
}
