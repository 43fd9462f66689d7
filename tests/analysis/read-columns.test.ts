import { describe, expect, it } from 'vitest';
import { converterWeights } from '../../analysis/identification/converter-kernel.js';
import { ColumnReader } from '../../analysis/identification/read-columns.js';

const places = [40.25, 41, 63.9, 77.5];
const point = Int32Array.from(places, Math.floor);
const share = Float64Array.from(places, (place) => place - Math.floor(place));
const columns = Array.from({ length: 6 }, (_, j) =>
  Float64Array.from({ length: 100 }, (_, k) => Math.sin(0.07 * k * (j + 1)) + j),
);

/** The same by the book: average the whole column first, then go between its points. */
function slowly(column: Float64Array, weights: Float64Array, place: number): number {
  const averaged = (k: number) => weights.reduce((sum, weight, t) => sum + weight * column[k - t]!, 0);
  const k = Math.floor(place);
  return averaged(k) + (place - k) * (averaged(k + 1) - averaged(k));
}

describe('columns read at places between grid points', () => {
  it.each([
    ['one conversion', 6, 1],
    ['sinc4', 6, 4],
  ] as const)('are what averaging first and interpolating then gives: %s', (_, width, averagings) => {
    const weights = converterWeights(width, averagings);
    const reader = new ColumnReader(weights);
    const values = columns.map(() => new Float64Array(places.length));
    reader.valuesInto(values, columns, point, share, places.length);
    const slopes = new Float64Array(places.length);
    reader.slopesInto(slopes, columns[5]!, point, places.length);
    places.forEach((place, r) => {
      columns.forEach((column, j) => {
        expect(values[j]![r]).toBeCloseTo(slowly(column, weights, place), 12);
      });
      const k = Math.floor(place);
      const rise = slowly(columns[5]!, weights, k + 1) - slowly(columns[5]!, weights, k);
      expect(slopes[r]).toBeCloseTo(rise, 12);
    });
  });
});
