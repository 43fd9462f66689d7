import { describe, expect, it } from 'vitest';
import type { LocalDegree } from '../../analysis/kinematics/local-fit.js';
import { motionAt } from '../../analysis/kinematics/local-polynomial.js';

/**
 * Savitzky & Golay, Anal. Chem. 36 (1964) 1627, with the corrections of Steinier, Termonia & Deltour, Anal. Chem. 44
 * (1972) 1906; every row derived again in rational arithmetic. Coefficients are for dot products with unit spacing;
 * second derivatives are those of the fitted polynomial (2·a₂).
 */
interface Row {
  readonly window: number;
  readonly degrees: readonly LocalDegree[];
  readonly quantity: 'position_m' | 'velocity_m_per_s' | 'acceleration_m_per_s2';
  readonly norm: number;
  readonly coefficients: readonly number[];
  /** At the window's first sample instead of its middle. */
  readonly edge?: true;
}

const rows: readonly Row[] = [
  { window: 5, degrees: [2, 3], quantity: 'position_m', norm: 35, coefficients: [-3, 12, 17, 12, -3] },
  { window: 7, degrees: [2, 3], quantity: 'position_m', norm: 21, coefficients: [-2, 3, 6, 7, 6, 3, -2] },
  {
    window: 9,
    degrees: [2, 3],
    quantity: 'position_m',
    norm: 231,
    coefficients: [-21, 14, 39, 54, 59, 54, 39, 14, -21],
  },
  {
    window: 11,
    degrees: [2, 3],
    quantity: 'position_m',
    norm: 429,
    coefficients: [-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36],
  },
  { window: 7, degrees: [4], quantity: 'position_m', norm: 231, coefficients: [5, -30, 75, 131, 75, -30, 5] },
  {
    window: 9,
    degrees: [4],
    quantity: 'position_m',
    norm: 429,
    coefficients: [15, -55, 30, 135, 179, 135, 30, -55, 15],
  },
  { window: 5, degrees: [1, 2], quantity: 'velocity_m_per_s', norm: 10, coefficients: [-2, -1, 0, 1, 2] },
  {
    window: 7,
    degrees: [1, 2],
    quantity: 'velocity_m_per_s',
    norm: 28,
    coefficients: [-3, -2, -1, 0, 1, 2, 3],
  },
  {
    window: 9,
    degrees: [1, 2],
    quantity: 'velocity_m_per_s',
    norm: 60,
    coefficients: [-4, -3, -2, -1, 0, 1, 2, 3, 4],
  },
  { window: 5, degrees: [3, 4], quantity: 'velocity_m_per_s', norm: 12, coefficients: [1, -8, 0, 8, -1] },
  {
    window: 7,
    degrees: [3, 4],
    quantity: 'velocity_m_per_s',
    norm: 252,
    coefficients: [22, -67, -58, 0, 58, 67, -22],
  },
  {
    window: 9,
    degrees: [3, 4],
    quantity: 'velocity_m_per_s',
    norm: 1188,
    coefficients: [86, -142, -193, -126, 0, 126, 193, 142, -86],
  },
  {
    window: 5,
    degrees: [2, 3],
    quantity: 'acceleration_m_per_s2',
    norm: 7,
    coefficients: [2, -1, -2, -1, 2],
  },
  {
    window: 7,
    degrees: [2, 3],
    quantity: 'acceleration_m_per_s2',
    norm: 42,
    coefficients: [5, 0, -3, -4, -3, 0, 5],
  },
  {
    window: 9,
    degrees: [2, 3],
    quantity: 'acceleration_m_per_s2',
    norm: 462,
    coefficients: [28, 7, -8, -17, -20, -17, -8, 7, 28],
  },
  { window: 5, degrees: [2], quantity: 'position_m', norm: 35, coefficients: [31, 9, -3, -5, 3], edge: true },
  {
    window: 5,
    degrees: [2],
    quantity: 'velocity_m_per_s',
    norm: 70,
    coefficients: [-54, 13, 40, 27, -26],
    edge: true,
  },
];

const spacing_s = 0.25; // a power of two, so that the spacing's powers are exact
const samples = 31;
const time_s = Float64Array.from({ length: samples }, (_, i) => 7 + spacing_s * i);

/** Weights with which the samples enter one result: its answers to unit impulses. */
function weights(row: Row, degree: LocalDegree, at: number): number[] {
  return Array.from({ length: samples }, (_, j) => {
    const impulse = new Float64Array(samples);
    impulse[j] = 1;
    const halfWindow_s = (spacing_s * (row.window - 1)) / 2;
    const motion = motionAt(time_s, impulse, { degree, halfWindow_s }, time_s);
    return motion[row.quantity][at];
  });
}

describe('local polynomials on evenly spaced times are the Savitzky-Golay filters', () => {
  const cases = rows.flatMap((row) =>
    row.degrees.map((degree) => ({
      ...row,
      degree,
      where: row.edge ? 'first of' : 'middle of',
      order: { position_m: 0, velocity_m_per_s: 1, acceleration_m_per_s2: 2 }[row.quantity],
    })),
  );
  it.each(cases)('$quantity at the $where $window samples, degree $degree', (row) => {
    const at = row.edge ? 0 : 15;
    const first = row.edge ? 0 : 15 - (row.window - 1) / 2;
    const found = weights(row, row.degree, at);
    for (let j = 0; j < samples; j++) {
      const wanted = (row.coefficients[j - first] ?? 0) / row.norm / spacing_s ** row.order;
      expect(Math.abs(found[j] - wanted)).toBeLessThan(2e-14 / spacing_s ** row.order);
    }
  });

  it('mirrors the first edge at the last', () => {
    const row = rows.find(({ edge, quantity }) => edge && quantity === 'velocity_m_per_s')!;
    const first = weights(row, 2, 0);
    const last = weights(row, 2, samples - 1);
    for (let j = 0; j < samples; j++) expect(Math.abs(first[j] + last[samples - 1 - j])).toBeLessThan(1e-12);
  });

  // A published half-table (chemgapedia.de) prints 343 for one coefficient of the 25-point smoothing row whose norm
  // is 5175; the sum of a smoothing row is 1, which leaves only 342.
  it('has 342 where a published table of the 25-point row has 343', () => {
    const row: Row = { window: 25, degrees: [2], quantity: 'position_m', norm: 5175, coefficients: [] };
    const found = weights(row, 2, 15).map((weight) => weight * row.norm);
    expect(found.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(5175, 8);
    expect(found[15 + 5]).toBeCloseTo(342, 8);
  });

  it('states the noise gain of each row', () => {
    const { velocityGain_per_s2 } = motionAt(
      time_s,
      new Float64Array(samples),
      { degree: 3, halfWindow_s: 4 * spacing_s },
      Float64Array.of(time_s[15]),
    );
    const squares = [86, 142, 193, 126, 126, 193, 142, 86].reduce((sum, c) => sum + (c / 1188) ** 2, 0);
    expect(velocityGain_per_s2[0]).toBeCloseTo(squares / spacing_s ** 2, 12);
  });
});
