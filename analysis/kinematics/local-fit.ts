/**
 * One weighted polynomial fitted to one window of samples, and its value, slope and curvature at one instant.
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
  /** Weight of a sample at that very instant in the value: how far the fit follows its own sample. */
  leverage: number;
}

/**
 * @param degree of the polynomial
 * @param tricube true for tricube weights (1 - |d|³)³ by distance from the instant, false for equal weights
 * @returns a function that fits samples `from` to `to` (exclusive, at least degree + 1 of them) at `time_s` and
 *   returns one object that it reuses from call to call
 */
export function makeLocalFit(
  time_s: Float64Array,
  values: Float64Array,
  degree: LocalDegree,
  tricube: boolean,
): (from: number, to: number, at_s: number) => Readonly<LocalFit> {
  const p = degree + 1;
  const moments = new Float64Array(9);
  const products = new Float64Array(5);
  const factor = new Float64Array(25);
  const valueRow = new Float64Array(5);
  const slopeRow = new Float64Array(5);
  const curvatureRow = new Float64Array(5);
  const fit: LocalFit = { value: 0, slope: 0, curvature: 0, slopeGain: 0, leverage: 0 };

  /** Distance at which the tricube weight vanishes: one mean spacing beyond the farthest sample. */
  const reach = (from: number, to: number, at_s: number): number =>
    Math.max(time_s[to - 1] - at_s, at_s - time_s[from]) + (time_s[to - 1] - time_s[from]) / (to - 1 - from);

  const accumulate = (from: number, to: number, at_s: number, middle: number, perHalf: number): void => {
    const origin = values[from];
    const perReach = tricube ? 1 / reach(from, to, at_s) : 0;
    let s0 = 0;
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
      const w = tricube ? tricubeWeight((time_s[i] - at_s) * perReach) : 1;
      const y = values[i] - origin;
      const w1 = w * u;
      const w2 = w1 * u;
      const w3 = w2 * u;
      const w4 = w3 * u;
      s0 += w;
      s1 += w1;
      s2 += w2;
      s3 += w3;
      s4 += w4;
      b0 += w * y;
      b1 += w1 * y;
      b2 += w2 * y;
      if (degree > 2) {
        const w5 = w4 * u;
        s5 += w5;
        s6 += w5 * u;
        b3 += w3 * y;
        if (degree > 3) {
          const w7 = w5 * u * u;
          s7 += w7;
          s8 += w7 * u;
          b4 += w4 * y;
        }
      }
    }
    moments[0] = s0;
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

  /** Sum of squares of w·p(u) over the window, p being the polynomial that L⁻ᵀ·slopeRow holds. */
  const tricubeGain = (from: number, to: number, at_s: number, middle: number, perHalf: number): number => {
    for (let i = p - 1; i >= 0; i--) {
      for (let k = i + 1; k < p; k++) slopeRow[i] -= factor[k * 5 + i] * slopeRow[k];
      slopeRow[i] *= factor[i * 5 + i];
    }
    const perReach = 1 / reach(from, to, at_s);
    let gain = 0;
    for (let i = from; i < to; i++) {
      const u = (time_s[i] - middle) * perHalf;
      let row = 0;
      for (let k = degree; k >= 0; k--) row = row * u + slopeRow[k];
      gain += (row * tricubeWeight((time_s[i] - at_s) * perReach)) ** 2;
    }
    return gain;
  };

  return (from, to, at_s) => {
    const middle = 0.5 * (time_s[from] + time_s[to - 1]);
    const perHalf = 2 / (time_s[to - 1] - time_s[from]);
    accumulate(from, to, at_s, middle, perHalf);
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
    let leverage = 0;
    for (let k = 0; k < p; k++) {
      value += valueRow[k] * products[k];
      slope += slopeRow[k] * products[k];
      curvature += curvatureRow[k] * products[k];
      slopeGain += slopeRow[k] * slopeRow[k];
      leverage += valueRow[k] * valueRow[k];
    }
    fit.value = values[from] + value;
    fit.slope = slope * perHalf;
    fit.curvature = curvature * perHalf * perHalf;
    if (tricube) slopeGain = tricubeGain(from, to, at_s, middle, perHalf);
    fit.slopeGain = slopeGain * perHalf * perHalf;
    fit.leverage = leverage;
    return fit;
  };
}

function tricubeWeight(distance: number): number {
  const d = Math.abs(distance);
  const w = 1 - d * d * d;
  return w * w * w;
}
