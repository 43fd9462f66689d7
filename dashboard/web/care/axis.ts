/** A linear way from values to a stretch of a picture, with ticks at round values. */
export interface Axis {
  at(value: number): number;
  readonly ticks: readonly number[];
  /** Decimal places that tell the ticks apart. */
  readonly decimals: number;
}

/**
 * @param values all that must fit; their extent is widened by a twentieth
 * @param from, to where the lowest and the highest come to lie
 */
export function axisOver(values: readonly number[], from: number, to: number, about = 4): Axis {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = (high - low || Math.abs(high) || 1) / 20;
  const [bottom, top] = [low - room, high + room];
  const step = roundStep((top - bottom) / about);
  const first = Math.ceil(bottom / step);
  const ticks = Array.from({ length: Math.floor(top / step) - first + 1 }, (_, i) => (first + i) * step);
  return {
    at: (value) => from + ((value - bottom) / (top - bottom)) * (to - from),
    ticks,
    decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)),
  };
}

/** 1, 2 or 5 times a power of ten, no smaller than what is wanted. */
function roundStep(wanted: number): number {
  const power = 10 ** Math.floor(Math.log10(wanted));
  return power * ([1, 2, 5].find((factor) => factor * power >= wanted) ?? 10);
}
