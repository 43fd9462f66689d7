import { choleskyInto } from '../numerics/linear.js';

/** Position and its derivatives at one instant, with standard errors of the first two. */
export interface Quintic {
  readonly position_m: number;
  readonly velocity_m_per_s: number;
  readonly acceleration_m_per_s2: number;
  readonly positionError_m: number;
  readonly velocityError_m_per_s: number;
}

const size = 6;
/** Powers of time up to the tenth, then position times powers up to the fifth. */
const powers = 11;

/**
 * A quintic about one instant whose window grows at either end: what was summed stays summed.
 * @param time_s, position_m a record with increasing times
 * @param noise_m noise of one position sample
 */
export function growingQuintic(time_s: Float64Array, position_m: Float64Array, noise_m: number) {
  const sums = new Float64Array(powers + size);
  const normal = new Float64Array(size * size);
  const factor = new Float64Array(size * size);
  const row = new Float64Array(size);
  let at_s = 0;
  let perUnit = 1;
  let base_m = 0;

  /** Starts anew about an instant; `unit_s` is the scale of time in the sums, about the longest window's half. */
  function begin(instant_s: number, unit_s: number, origin_m: number): void {
    sums.fill(0);
    at_s = instant_s;
    perUnit = 1 / unit_s;
    base_m = origin_m;
  }

  /** Takes samples `from` to `to` (exclusive) into the window. */
  function add(from: number, to: number): void {
    let p0 = 0;
    let p1 = 0;
    let p2 = 0;
    let p3 = 0;
    let p4 = 0;
    let p5 = 0;
    let p6 = 0;
    let p7 = 0;
    let p8 = 0;
    let p9 = 0;
    let p10 = 0;
    let m0 = 0;
    let m1 = 0;
    let m2 = 0;
    let m3 = 0;
    let m4 = 0;
    let m5 = 0;
    for (let i = from; i < to; i++) {
      const s = (time_s[i] - at_s) * perUnit;
      const x = position_m[i] - base_m;
      const s2 = s * s;
      const s3 = s2 * s;
      const s4 = s2 * s2;
      const s5 = s4 * s;
      p0 += 1;
      p1 += s;
      p2 += s2;
      p3 += s3;
      p4 += s4;
      p5 += s5;
      p6 += s3 * s3;
      p7 += s4 * s3;
      p8 += s4 * s4;
      p9 += s5 * s4;
      p10 += s5 * s5;
      m0 += x;
      m1 += s * x;
      m2 += s2 * x;
      m3 += s3 * x;
      m4 += s4 * x;
      m5 += s5 * x;
    }
    sums[0] += p0;
    sums[1] += p1;
    sums[2] += p2;
    sums[3] += p3;
    sums[4] += p4;
    sums[5] += p5;
    sums[6] += p6;
    sums[7] += p7;
    sums[8] += p8;
    sums[9] += p9;
    sums[10] += p10;
    sums[11] += m0;
    sums[12] += m1;
    sums[13] += m2;
    sums[14] += m3;
    sums[15] += m4;
    sums[16] += m5;
  }

  /** The quintic through what is in the window; null where it does not determine one. */
  function fit(): Quintic | null {
    for (let a = 0; a < size; a++) for (let b = 0; b <= a; b++) normal[a * size + b] = sums[a + b];
    if (!choleskyInto(factor, normal, size)) return null;
    const positionGain = inverseDiagonal(0);
    const velocityGain = inverseDiagonal(1);
    for (let a = 0; a < size; a++) row[a] = sums[powers + a];
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < a; b++) row[a] -= factor[a * size + b] * row[b];
      row[a] /= factor[a * size + a];
    }
    for (let a = size - 1; a >= 0; a--) {
      for (let b = a + 1; b < size; b++) row[a] -= factor[b * size + a] * row[b];
      row[a] /= factor[a * size + a];
    }
    return {
      position_m: base_m + row[0],
      velocity_m_per_s: row[1] * perUnit,
      acceleration_m_per_s2: 2 * row[2] * perUnit * perUnit,
      positionError_m: noise_m * Math.sqrt(positionGain),
      velocityError_m_per_s: noise_m * Math.sqrt(velocityGain) * perUnit,
    };
  }

  /** One diagonal entry of the inverse: the squared length of that column of L⁻¹. */
  function inverseDiagonal(j: number): number {
    let sum = 0;
    for (let a = j; a < size; a++) {
      let value = a === j ? 1 : 0;
      for (let b = j; b < a; b++) value -= factor[a * size + b] * row[b];
      row[a] = value / factor[a * size + a];
      sum += row[a] * row[a];
    }
    return sum;
  }

  return { begin, add, fit };
}
