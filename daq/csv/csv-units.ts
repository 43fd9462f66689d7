/** Value in SI (or °C) = (value in the file − subtract) · multiply / divide. */
export interface Conversion {
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
  mm: { divide: 1e3 },
  m: {},
  um: { divide: 1e6 },
  cm: { divide: 100 },
  in: { multiply: 0.0254 },
};

/**
 * Units a header may name, by quantity; the first of each is what we write. Powers of ten divide instead of
 * multiplying by a fraction, so that 0.1 mm comes out as the number nearest to 0.0001 m.
 * Sources: pound, pound-force and inch are exact by the international yard and pound of 1959 (NIST SP 811, appendix B);
 * the kilogram-force by the standard acceleration 9.80665 m/s² (CGPM 1901).
 */
const UNITS: Readonly<Record<Quantity, Readonly<Record<string, Conversion>>>> = {
  time: { s: {}, ms: { divide: 1e3 }, us: { divide: 1e6 } },
  position: LENGTHS,
  force: {
    N: {},
    mN: { divide: 1e3 },
    kN: { multiply: 1e3 },
    lbf: { multiply: 4.4482216152605 },
    gf: { multiply: 9.80665, divide: 1e3 },
    kgf: { multiply: 9.80665 },
  },
  temperature: { degC: {}, degF: { subtract: 32, multiply: 5, divide: 9 }, K: { subtract: 273.15 } },
  velocity: {
    mm_per_s: { divide: 1e3 },
    m_per_s: {},
    in_per_s: { multiply: 0.0254 },
  },
  mass: {
    g: { divide: 1e3 },
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
  | { readonly quantity: Quantity; readonly conversion: Conversion }
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
  return found ? { quantity, conversion: found[1] } : { quantity, unknownUnit: unit };
}

/** Names of columns that hold a quantity, for saying what is wanted. */
export function namesFor(quantity: Quantity): string[] {
  const word = quantity === 'position' ? 'displacement' : quantity;
  return Object.keys(UNITS[quantity]).map((unit) => `${word}_${unit}`);
}
