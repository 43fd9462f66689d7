/** How a channel's counts stand for a quantity: counts − zero = (q / perCount)·(1 + bend·q). */
export interface Scale {
  /** Quantity per count at zero; its sign turns a channel round. */
  readonly perCount: number;
  readonly zero_counts: number;
  /** Departure from a straight line, per unit of the quantity; 0 for a straight line. */
  readonly bend: number;
}

/**
 * The quantity that a count stands for.
 * @param counts as read
 * @returns in the unit of the scale; for a bent scale the root that is near the straight line
 * Numerical notes: written so that a bend of 0 is the straight line and small bends lose no digits. A bent scale ends
 *   where its parabola turns, far outside what was calibrated; beyond, the value at its turn is returned.
 */
export function quantityOf(counts: number, { perCount, zero_counts, bend }: Scale): number {
  const straight = (counts - zero_counts) * perCount;
  if (bend === 0) return straight;
  return (2 * straight) / (1 + Math.sqrt(Math.max(0, 1 + 4 * bend * straight)));
}

/** Counts that a quantity gives, not rounded. */
export function countsOf(quantity: number, { perCount, zero_counts, bend }: Scale): number {
  return zero_counts + (quantity / perCount) * (1 + bend * quantity);
}

/** The scale of counts that were fitted as constant + linear·q + quadratic·q². */
export function scaleOfPolynomial([constant = 0, linear = 0, quadratic = 0]: readonly number[]): Scale {
  return { perCount: 1 / linear, zero_counts: constant, bend: quadratic / linear };
}
