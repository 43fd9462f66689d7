export type ForceUnit = 'N' | 'lbf' | 'gf';
export type LengthUnit = 'mm' | 'in';

/** What the person chose to read; inside, everything stays SI. */
export interface DisplayUnits {
  readonly force: ForceUnit;
  readonly length: LengthUnit;
}

export const metric: DisplayUnits = { force: 'N', length: 'mm' };

/**
 * Newtons per unit and metres per unit, exact.
 * Source: NIST SP 811 (2008) appendix B.8 and its footnotes (lbf = 4.448 221 615 260 5 N, gf = 9.806 65 mN, in = 25.4 mm).
 */
const newton: Readonly<Record<ForceUnit, number>> = { N: 1, lbf: 4.4482216152605, gf: 0.00980665 };
const metre: Readonly<Record<LengthUnit, number>> = { mm: 0.001, in: 0.0254 };

export type Dimension =
  | 'force'
  | 'length'
  | 'velocity'
  | 'springRate'
  | 'linearDamping'
  | 'quadraticDamping'
  | 'mass'
  | 'time'
  | 'temperature'
  | 'none';

export interface DisplayScale {
  readonly unit: string;
  /** Multiply an SI value (N, m, m/s, N/m, N·s/m, N·s²/m², kg, s; °C stays) by this to show it. */
  readonly factor: number;
}

/** The unit a dimension is shown in, and the factor from SI to it. */
export function displayScale(dimension: Dimension, units: DisplayUnits = metric): DisplayScale {
  const { force, length } = units;
  // A damping coefficient in metric is customary per metre; in inches per inch.
  const [per, perMetre] = length === 'mm' ? ['m', 1] : [length, metre[length]];
  switch (dimension) {
    case 'force':
      return { unit: force, factor: 1 / newton[force] };
    case 'length':
      return { unit: length, factor: 1 / metre[length] };
    case 'velocity':
      return { unit: `${length}/s`, factor: 1 / metre[length] };
    case 'springRate':
      return { unit: `${force}/${length}`, factor: metre[length] / newton[force] };
    case 'linearDamping':
      return { unit: `${force}·s/${per}`, factor: perMetre / newton[force] };
    case 'quadraticDamping':
      return { unit: `${force}·s²/${per}²`, factor: perMetre ** 2 / newton[force] };
    case 'mass':
      return { unit: 'g', factor: 1000 };
    case 'time':
      return { unit: 'ms', factor: 1000 };
    case 'temperature':
      return { unit: '°C', factor: 1 };
    case 'none':
      return { unit: '', factor: 1 };
  }
}
