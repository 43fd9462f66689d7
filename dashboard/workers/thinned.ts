/** Every n-th value, scaled, with digits enough for drawing: more would only make the text longer. */
export function thinned(values: Float64Array, every: number, digits: number, factor = 1): number[] {
  const kept: number[] = [];
  for (let i = 0; i < values.length; i += every) kept.push(Number((factor * values[i]!).toPrecision(digits)));
  return kept;
}
