import type { KernelName } from '../result.js';

/** Running means, each one conversion long, that make up a converter's averaging. */
export const averagingsOf: Readonly<Record<KernelName, number>> = {
  none: 0,
  'one-conversion': 1,
  sinc3: 3,
  sinc4: 4,
};

/**
 * Passes a signal on a uniform grid through the converter's own averaging.
 * Every regressor goes through this instead of the force being deconvolved: the fit then compares like with
 * like, and the rounded friction step of a slow converter costs nothing in accuracy.
 * @param values signal on the grid; its first n values are replaced by the averaged signal
 * @param width grid steps in one conversion, ≥ 1
 * @param averagings number of running means, 0 to 4
 * @param scratch at least n values
 * @remarks Causal: each mean covers the `width` latest grid points, so it delays by (width − 1)/2 steps, which
 *   `kernelDelay_steps` returns. The first `averagings·(width − 1)` points are means over a shorter past.
 * @see ADS1212/1213 data sheet, p. 12, for the sinc³ settling and bandwidth of a sigma-delta converter
 */
export function averageInto(
  values: Float64Array,
  n: number,
  width: number,
  averagings: number,
  scratch: Float64Array,
): void {
  if (width <= 1) return;
  let from = values;
  let to = scratch;
  for (let pass = 0; pass < averagings; pass++) {
    let sum = 0;
    const head = Math.min(width, n);
    for (let k = 0; k < head; k++) {
      sum += from[k];
      to[k] = sum / (k + 1);
    }
    const share = 1 / width;
    for (let k = head; k < n; k++) {
      sum += from[k] - from[k - width];
      to[k] = sum * share;
    }
    const swap = from;
    from = to;
    to = swap;
  }
  if (from !== values) for (let k = 0; k < n; k++) values[k] = from[k];
}

/** Delay of the averaging on the grid, in grid steps. */
export const kernelDelay_steps = (width: number, averagings: number): number =>
  (averagings * (width - 1)) / 2;
