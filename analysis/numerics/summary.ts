/** Summary statistics of one column of numbers. All return NaN where there are too few values for them. */
import { exactSum } from './exact-sums.js';

/** Arithmetic mean, summed in twice the working precision. */
export function mean(values: Float64Array): number {
  return exactSum(values) / values.length;
}

/**
 * Sample standard deviation (n - 1).
 * Numerical notes: two passes, the second corrected for the rounding of the mean (Chan, Golub & LeVeque 1983), so
 * that a large offset costs only what the offset's own rounding took from the values.
 */
export function standardDeviation(values: Float64Array): number {
  const n = values.length;
  if (n < 2) return Number.NaN;
  const centre = mean(values);
  const deviations = values.map((value) => value - centre);
  const squares = deviations.map((d) => d * d);
  return Math.sqrt((exactSum(squares) - exactSum(deviations) ** 2 / n) / (n - 1));
}

/** Slope of the least-squares line of y over x, equal lengths; NaN where all x are the same. */
export function slopeOf(x: Float64Array, y: Float64Array): number {
  const middle = x.reduce((a, b) => a + b, 0) / x.length;
  let across = 0;
  let along = 0;
  for (let i = 0; i < x.length; i++) {
    across += (x[i] - middle) * y[i];
    along += (x[i] - middle) ** 2;
  }
  return across / along;
}

/** Autocorrelation at lag one: Σ (y[i] - ȳ)(y[i-1] - ȳ) / Σ (y[i] - ȳ)², as NIST StRD defines it. */
export function lagOneAutocorrelation(values: Float64Array): number {
  const centre = mean(values);
  let products = 0;
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    const d = values[i] - centre;
    squares += d * d;
    if (i > 0) products += d * (values[i - 1] - centre);
  }
  return products / squares;
}

/** Smallest and largest value; Infinity and −Infinity where there is none. */
export function extent(values: Float64Array): [low: number, high: number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    if (values[i] < low) low = values[i];
    if (values[i] > high) high = values[i];
  }
  return [low, high];
}

/** Middle value, or the mean of the two middle ones. */
export function median(values: Float64Array): number {
  return quantile(values, 0.5);
}

/** The same of numbers whose order may change. */
export function medianInPlace(values: Float64Array): number {
  return quantileInPlace(values, 0.5);
}

/**
 * Quantile by linear interpolation between order statistics, position (n - 1)·p (Hyndman & Fan 1996, type 7).
 * @param values n finite numbers in any order; not changed
 * @param p 0..1
 */
export function quantile(values: Float64Array, p: number): number {
  return quantileInPlace(values.slice(), p);
}

/** The same of numbers whose order may change. */
function quantileInPlace(work: Float64Array, p: number): number {
  const n = work.length;
  if (n === 0) return Number.NaN;
  const position = (n - 1) * p;
  const k = Math.min(n - 1, Math.floor(position));
  const low = selectInPlace(work, k);
  if (position === k) return low;
  let high = Infinity;
  for (let i = k + 1; i < n; i++) if (work[i] < high) high = work[i];
  return low + (position - k) * (high - low);
}

/**
 * Median of the absolute deviations from the median, as it stands; multiply by `madToSd` for the standard
 * deviation of normal data.
 */
export function medianAbsoluteDeviation(values: Float64Array): number {
  const centre = median(values);
  return median(values.map((value) => Math.abs(value - centre)));
}

/** 1 / Φ⁻¹(¾): standard deviation over median absolute deviation of normal data. */
export const madToSd = 1.482602218505602;

/** Hoare's selection, of numbers without NaN: afterwards work[k] is the k-th smallest, nothing larger stands before it. */
export function selectInPlace(work: Float64Array, k: number): number {
  let low = 0;
  let high = work.length - 1;
  while (low < high) {
    const pivot = medianOfThree(work[low], work[(low + high) >> 1], work[high]);
    let i = low;
    let j = high;
    while (i <= j) {
      while (work[i] < pivot) i++;
      while (work[j] > pivot) j--;
      if (i <= j) {
        const swapped = work[i];
        work[i++] = work[j];
        work[j--] = swapped;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return work[k];
}

export function medianOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}
