import { describe, expect, it } from 'vitest';
import { metricDrills, numberDrills } from '../../analysis/index.js';

/** ASME B94.11M as listed by the drillgauge units of GNU units 2.22, inches. */
const listed: Readonly<Record<number, number>> = {
  80: 0.0135,
  79: 0.0145,
  78: 0.016,
  76: 0.02,
  75: 0.021,
  74: 0.0225,
  73: 0.024,
  71: 0.026,
  70: 0.028,
  69: 0.0292,
  68: 0.031,
  66: 0.033,
  65: 0.035,
  60: 0.04,
  57: 0.043,
  56: 0.0465,
  55: 0.052,
  54: 0.055,
  53: 0.0595,
  52: 0.0635,
  51: 0.067,
  50: 0.07,
  48: 0.076,
  46: 0.081,
  45: 0.082,
  44: 0.086,
  43: 0.089,
  42: 0.0935,
  41: 0.096,
  40: 0.098,
  30: 0.1285,
  20: 0.161,
  10: 0.1935,
  1: 0.228,
};

describe('number drills', () => {
  const diameter_m = (number: number) => numberDrills.find(({ name }) => name === `#${number}`)!.diameter_m;

  it('have the diameters of ASME B94.11M', () => {
    expect(numberDrills).toHaveLength(80);
    for (const [number, inches] of Object.entries(listed))
      expect(diameter_m(Number(number))).toBeCloseTo(inches * 0.0254, 12);
  });

  it('lie on the straight line between their neighbours where the list leaves them out', () => {
    for (const [number, low, high] of [
      [77, 78, 76],
      [72, 73, 71],
      [67, 68, 66],
      [62, 65, 60],
      [58, 60, 57],
      [49, 50, 48],
      [47, 48, 46],
    ] as const) {
      const share = (number - low) / (high - low);
      const between = listed[low]! + share * (listed[high]! - listed[low]!);
      expect(diameter_m(number)).toBeCloseTo(between * 0.0254, 12);
    }
  });

  it('are in millimetres what tables say', () => {
    for (const [number, mm] of [
      [60, 1.016],
      [56, 1.1811],
      [55, 1.3208],
      [54, 1.397],
      [53, 1.5113],
      [52, 1.6129],
      [51, 1.7018],
    ] as const)
      expect(diameter_m(number) * 1e3).toBeCloseTo(mm, 4);
  });
});

describe('metric drills', () => {
  it('step by 0.05 mm from 1 to 3 mm and by 0.1 mm above, as BS 328 has them', () => {
    const sizes = metricDrills.map(({ diameter_m }) => Math.round(diameter_m * 1e5));
    expect(sizes.slice(0, 8)).toEqual([20, 22, 25, 28, 30, 32, 35, 38]);
    expect(sizes.filter((size) => size >= 100 && size < 300)).toHaveLength(40);
    expect(sizes.slice(-2)).toEqual([590, 600]);
    expect([...sizes].sort((a, b) => a - b)).toEqual(sizes);
  });
});
