/** Position and its derivatives at one instant, with standard errors of the first two. */
export interface Quintic {
  position_m: number;
  velocity_m_per_s: number;
  acceleration_m_per_s2: number;
  positionError_m: number;
  velocityError_m_per_s: number;
}

const size = 6;
/** A row of the normal equations: right side, then the powers up to its own. */
const width = size + 1;
/** Powers of time up to the tenth, then position times powers up to the fifth. */
const powers = 11;

/** A quintic about one instant whose window grows at either end: what was summed stays summed. */
export class GrowingQuintic {
  readonly #time_s: Float64Array;
  readonly #position_m: Float64Array;
  readonly #noise_m: number;
  readonly #sums = new Float64Array(powers + size);
  readonly #normal = new Float64Array(size * width);
  readonly #quintic: Quintic = {
    position_m: 0,
    velocity_m_per_s: 0,
    acceleration_m_per_s2: 0,
    positionError_m: 0,
    velocityError_m_per_s: 0,
  };
  #at_s = 0;
  #perUnit = 1;
  #base_m = 0;

  /**
   * @param time_s, position_m a record with increasing times
   * @param noise_m noise of one position sample
   */
  constructor(time_s: Float64Array, position_m: Float64Array, noise_m: number) {
    this.#time_s = time_s;
    this.#position_m = position_m;
    this.#noise_m = noise_m;
  }

  /** Starts anew about an instant; `unit_s` is the scale of time in the sums, about the longest window's half. */
  begin(at_s: number, unit_s: number, base_m: number): void {
    this.#sums.fill(0);
    this.#at_s = at_s;
    this.#perUnit = 1 / unit_s;
    this.#base_m = base_m;
  }

  /** Takes samples `from` to `to` (exclusive) into the window. */
  add(from: number, to: number): void {
    const time_s = this.#time_s;
    const position_m = this.#position_m;
    const sums = this.#sums;
    const at_s = this.#at_s;
    const perUnit = this.#perUnit;
    const base_m = this.#base_m;
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
    sums[0] += to - from;
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

  /**
   * The quintic through what is in the window, in one object used again at every call; null where the window does not
   * determine one. High powers are eliminated first, so that position and velocity are left with their variances.
   */
  fit(): Readonly<Quintic> | null {
    const sums = this.#sums;
    const normal = this.#normal;
    const quintic = this.#quintic;
    const perUnit = this.#perUnit;
    for (let a = 0; a < size; a++) {
      const row = a * width;
      normal[row] = sums[powers + a];
      for (let b = 0; b <= a; b++) normal[row + 1 + b] = sums[a + b];
    }
    for (let p = size - 1; p > 0; p--) {
      const from = p * width;
      const pivot = normal[from + 1 + p];
      if (!(pivot > 0)) return null;
      for (let a = 0; a < p; a++) {
        const share = normal[from + 1 + a] / pivot;
        const to = a * width;
        for (let b = 0; b <= a + 1; b++) normal[to + b] -= share * normal[from + b];
      }
    }
    if (!(normal[1] > 0)) return null;
    const [velocityRow, bendRow] = [width, 2 * width];
    const x = normal[0] / normal[1];
    const crossed = normal[velocityRow + 1];
    const weight = normal[velocityRow + 2];
    const v = (normal[velocityRow] - crossed * x) / weight;
    const a = (normal[bendRow] - normal[bendRow + 1] * x - normal[bendRow + 2] * v) / normal[bendRow + 3];
    quintic.position_m = this.#base_m + x;
    quintic.velocity_m_per_s = v * perUnit;
    quintic.acceleration_m_per_s2 = 2 * a * perUnit * perUnit;
    quintic.positionError_m = this.#noise_m * Math.sqrt(1 / normal[1]);
    quintic.velocityError_m_per_s =
      this.#noise_m * Math.sqrt(1 / weight + (crossed / weight) ** 2 / normal[1]) * perUnit;
    return quintic;
  }
}
