/** Round numbers within a range, about as many as wanted: steps of 1, 2 or 5 times a power of ten. */
export function ticksWithin(low: number, high: number, wanted: number): number[] {
  if (!(high > low)) return [];
  const rough = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((size) => size >= rough * 0.999)!;
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}
