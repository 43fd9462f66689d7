/** Round numbers on an axis, with decimals enough to tell them apart. */
export interface Ticks {
  readonly values: readonly number[];
  readonly decimals: number;
}

/** Round numbers within a range, about as many as wanted: steps of 1, 2 or 5 times a power of ten. */
export function ticksWithin(low: number, high: number, wanted: number): Ticks {
  if (!(high > low)) return { values: [], decimals: 0 };
  const rough = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((size) => size >= rough * 0.999)!;
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return {
    values: Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12))),
    decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)),
  };
}
