/** Reads columns on a uniform grid at places between its points, through a converter's weights. */
export class ColumnReader {
  readonly #weights: Float64Array;
  /** Weights of the taps + 1 grid points that a place between two points reaches, the earliest first. */
  readonly #reach: Float64Array;
  /** What those weights change by when the place moves on by a grid step. */
  readonly #slope: Float64Array;

  /** @param weights the latest grid point's first */
  constructor(weights: Float64Array) {
    const taps = weights.length;
    this.#weights = weights;
    this.#reach = new Float64Array(taps + 1);
    this.#slope = new Float64Array(taps + 1);
    for (let t = 0; t <= taps; t++) this.#slope[taps - t] = (weights[t] ?? 0) - (weights[t - 1] ?? 0);
  }

  /**
   * @param out row r of column j goes to out[j][r]
   * @param point, share rows' places: grid point and the share of a step beyond it
   */
  valuesInto(
    out: readonly Float64Array[],
    columns: readonly Float64Array[],
    point: Int32Array,
    share: Float64Array,
    count: number,
  ): void {
    const weights = this.#weights;
    const reach = this.#reach;
    const taps = weights.length;
    for (let r = 0; r < count; r++) {
      const on = share[r];
      const first = point[r] + 1 - taps;
      reach[taps] = on * weights[0];
      for (let t = 1; t < taps; t++) reach[taps - t] = on * weights[t] + (1 - on) * weights[t - 1];
      reach[0] = (1 - on) * weights[taps - 1];
      let j = 0;
      // Four columns at a time keep the processor's adders busy.
      for (; j + 3 < columns.length; j += 4) {
        const a = columns[j];
        const b = columns[j + 1];
        const c = columns[j + 2];
        const d = columns[j + 3];
        let sumA = 0;
        let sumB = 0;
        let sumC = 0;
        let sumD = 0;
        for (let t = 0; t <= taps; t++) {
          const w = reach[t];
          sumA += w * a[first + t];
          sumB += w * b[first + t];
          sumC += w * c[first + t];
          sumD += w * d[first + t];
        }
        out[j][r] = sumA;
        out[j + 1][r] = sumB;
        out[j + 2][r] = sumC;
        out[j + 3][r] = sumD;
      }
      for (; j < columns.length; j++) out[j][r] = weighed(reach, columns[j], first);
    }
  }

  /** By how much each row's value of one column changes per grid step. */
  slopesInto(out: Float64Array, column: Float64Array, point: Int32Array, count: number): void {
    const slope = this.#slope;
    for (let r = 0; r < count; r++) out[r] = weighed(slope, column, point[r] + 2 - slope.length);
  }
}

function weighed(weights: Float64Array, column: Float64Array, first: number): number {
  let sum = 0;
  for (let t = 0; t < weights.length; t++) sum += weights[t] * column[first + t];
  return sum;
}
