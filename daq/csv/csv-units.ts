/** Value in SI (or °C) = (value in the file · 10^tenTo − subtract) · multiply / divide. */
export interface Conversion {
  /** Taken in while the digits are read, so that 0.1 mm comes out as the number nearest to 0.0001 m. */
  readonly tenTo?: number;
  readonly subtract?: number;
  readonly multiply?: number;
  readonly divide?: number;
}

export type Quantity =
  | 'time'
  | 'position'
  | 'force'
  | 'temperature'
  | 'velocity'
  | 'mass'
  | 'length'
  | 'reading'
  | 'run';

const LENGTHS: Readonly<Record<string, Conversion>> = {
  mm: { tenTo: -3 },
  m: {},
  um: { tenTo: -6 },
  cm: { tenTo: -2 },
  in: { multiply: 0.0254 },
};

/**
 * Units a header may name, by quantity; the first of each is what we write.
 * Sources: pound, pound-force and inch are exact by the international yard and pound of 1959 (NIST SP 811, appendix B);
 * the kilogram-force by the standard acceleration 9.80665 m/s² (CGPM 1901).
 */
const UNITS: Readonly<Record<Quantity, Readonly<Record<string, Conversion>>>> = {
  time: { s: {}, ms: { tenTo: -3 }, us: { tenTo: -6 } },
  position: LENGTHS,
  force: {
    N: {},
    mN: { tenTo: -3 },
    kN: { tenTo: 3 },
    lbf: { multiply: 4.4482216152605 },
    gf: { tenTo: -3, multiply: 9.80665 },
    kgf: { multiply: 9.80665 },
  },
  temperature: { degC: {}, degF: { subtract: 32, multiply: 5, divide: 9 }, K: { subtract: 273.15 } },
  velocity: {
    mm_per_s: { tenTo: -3 },
    m_per_s: {},
    in_per_s: { multiply: 0.0254 },
  },
  mass: {
    g: { tenTo: -3 },
    kg: {},
    lb: { multiply: 0.45359237 },
    oz: { multiply: 0.45359237, divide: 16 },
  },
  length: LENGTHS,
  reading: { counts: {} },
  run: { number: {} },
};

/** Positions are called displacement in files. */
const QUANTITY_OF_WORD: Readonly<Record<string, Quantity>> = {
  time: 'time',
  displacement: 'position',
  position: 'position',
  force: 'force',
  temperature: 'temperature',
  velocity: 'velocity',
  mass: 'mass',
  length: 'length',
  reading: 'reading',
  run: 'run',
};

export type NamedColumn =
  | { readonly quantity: Quantity; readonly unit: string; readonly conversion: Conversion }
  /** A known quantity in a unit that is not. */
  | { readonly quantity: Quantity; readonly unknownUnit: string }
  | null;

/**
 * What a column's name says: quantity and unit, as in `force_N`, `Force [N]` or `force (lbf)`.
 * @returns null where it names no quantity we know
 */
export function namedColumn(name: string): NamedColumn {
  const [, word, rest = ''] = /^\s*([a-z]+)(?:[\s_]*[[(]?\s*(.*?)\s*[\])]?)?\s*$/i.exec(name) ?? [];
  const quantity = QUANTITY_OF_WORD[word?.toLowerCase() ?? ''];
  if (!quantity) return null;
  const unit = rest
    .replace(/^[µμ]/, 'u')
    .replace(/^°/, 'deg')
    .replace(/^mm\/s$|^m\/s$|^in\/s$/i, (u) => u.replace('/', '_per_'));
  const known = Object.entries(UNITS[quantity]);
  const found =
    known.find(([key]) => key === unit) ?? known.find(([key]) => key.toLowerCase() === unit.toLowerCase());
  return found ? { quantity, unit: found[0], conversion: found[1] } : { quantity, unknownUnit: unit };
}

/** Units of a quantity, by the names that headers use. */
export const unitsOf = (quantity: Quantity): Readonly<Record<string, Conversion>> => UNITS[quantity];

/** Names of columns that hold a quantity, for saying what is wanted. */
export function namesFor(quantity: Quantity): string[] {
  const word = quantity === 'position' ? 'displacement' : quantity;
  return Object.keys(UNITS[quantity]).map((unit) => `${word}_${unit}`);
}
